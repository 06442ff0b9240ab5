//! Averaging a photo, row by row, over squares of its pixels in linear light.

use super::{layout::Layout, profile::Encoding};
use crate::sampling::Picture;

/// A sample as it stands in a file: whole numbers from black 0 to white.
pub(super) trait Sample: Copy {
    /// How many values there are.
    const LEVELS: usize;
    /// Returns the place of the value in a table of `LEVELS`.
    fn level(self) -> usize;
}

impl Sample for u8 {
    const LEVELS: usize = 1 << 8;
    fn level(self) -> usize {
        self.into()
    }
}

impl Sample for u16 {
    const LEVELS: usize = 1 << 16;
    fn level(self) -> usize {
        self.into()
    }
}

/// Where the pixels of a row lie in the photo.
#[derive(Debug, Clone, Copy)]
pub(super) struct Laid {
    /// Row of the photo, from the top.
    pub(super) y: usize,
    /// Column of the first pixel.
    pub(super) first: usize,
    /// Columns from one pixel to the next.
    pub(super) across: usize,
}

/// Takes the rows of a photo and keeps their means.
pub(super) struct Shrink<'a> {
    encoding: &'a Encoding,
    tables: [Vec<f32>; 3],
    layout: Layout,
    factor: usize,
    sums: Picture,
    rows: usize,
}

impl<'a> Shrink<'a> {
    /// Begins a picture of samples `S`, whose rows are already reduced by `already`, with
    /// `width` and `height` the size of what is given row by row.
    pub(super) fn new<S: Sample>(
        encoding: &'a Encoding,
        layout: Layout,
        (width, height): (usize, usize),
        (factor, already): (usize, usize),
    ) -> Self {
        let (width, height) = ((width / factor).max(1), (height / factor).max(1));
        Self {
            encoding,
            tables: encoding.tables(S::LEVELS),
            layout,
            factor,
            sums: Picture {
                width,
                height,
                pixels: vec![[0.0; 3]; width * height],
                scale: (factor * already) as f64,
            },
            rows: 0,
        }
    }

    /// Adds the next row from the top.
    pub(super) fn push<S: Sample>(&mut self, row: &[S]) {
        let (y, first, across) = (self.rows, 0, 1);
        self.lay(row, Laid { y, first, across });
    }

    /// Adds a row at its place; rows and columns beyond the last whole square are left out.
    pub(super) fn lay<S: Sample>(&mut self, row: &[S], at: Laid) {
        let y = at.y / self.factor;
        self.rows += 1;
        if y >= self.sums.height {
            return;
        }
        let width = self.sums.width;
        let sums = &mut self.sums.pixels[y * width..(y + 1) * width];
        let [r, g, b] = &self.tables;
        let full = 1.0 / (S::LEVELS - 1) as f32;
        let blend = |v: f32, a: S| 1.0 + (v - 1.0) * a.level() as f32 * full;
        let place = (self.factor, at);
        match self.layout {
            Layout::Grey => add(sums, row, place, |&[v]: &[S; 1]| {
                [r[v.level()], g[v.level()], b[v.level()]]
            }),
            Layout::GreyAlpha => add(sums, row, place, |&[v, a]: &[S; 2]| {
                [r, g, b].map(|t| blend(t[v.level()], a))
            }),
            Layout::Rgb => add(sums, row, place, |&[x, y, z]: &[S; 3]| {
                [r[x.level()], g[y.level()], b[z.level()]]
            }),
            Layout::Rgba => add(sums, row, place, |&[x, y, z, a]: &[S; 4]| {
                [
                    blend(r[x.level()], a),
                    blend(g[y.level()], a),
                    blend(b[z.level()], a),
                ]
            }),
        }
    }

    /// Adds rows that lie one after the other.
    pub(super) fn push_all<S: Sample>(&mut self, samples: &[S], width: usize) {
        for row in samples.chunks_exact(width * self.layout.samples()) {
            self.push(row);
        }
    }

    /// Returns the picture in the primaries of sRGB.
    pub(super) fn finish(mut self) -> Picture {
        debug_assert!(self.rows >= self.sums.height * self.factor || self.sums.height == 1);
        let share = 1.0 / (self.factor * self.factor) as f32;
        for pixel in &mut self.sums.pixels {
            *pixel = self.encoding.to_srgb_primaries(pixel.map(|v| v * share));
        }
        self.sums
    }
}

/// Adds a row of pixels of `N` samples to the sums of the squares that they lie in.
fn add<S: Sample, const N: usize>(
    sums: &mut [[f32; 3]],
    row: &[S],
    (factor, at): (usize, Laid),
    linear: impl Fn(&[S; N]) -> [f32; 3],
) {
    let put = |sum: &mut [f32; 3], pixel: &[S; N]| {
        for (s, v) in sum.iter_mut().zip(linear(pixel)) {
            *s += v;
        }
    };
    let (pixels, _) = row.as_chunks::<N>();
    if at.across > 1 {
        for (i, pixel) in pixels.iter().enumerate() {
            if let Some(sum) = sums.get_mut((at.first + i * at.across) / factor) {
                put(sum, pixel);
            }
        }
        return;
    }
    for (sum, square) in sums.iter_mut().zip(pixels.chunks(factor)) {
        for pixel in square {
            put(sum, pixel);
        }
    }
}
