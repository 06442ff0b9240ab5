//! `layout`: how many slices fit on a rack and where each goes.

use crate::cli::{output::Output, prelude::*};
use crate::{
    model::{Mode, Oven, OvenError, Slice, SliceSize, text::joined},
    report::json_layout::{LayoutJson, NextJson, WayJson, slices_json},
    units::{Celsius, Centimetres, LengthUnit},
    workflow::{
        advised::next_on,
        catalogue::{Occasion, cautions_at},
        ground::mode_of,
        layout::{LayoutError, LayoutRequest, Measure, lay_out},
        next::Outlook,
        toast::parse_size,
        toasting::took_before,
    },
};

/// Show how many slices fit and where each goes, before anything is toasted.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  rackshade layout --oven wall-oven --racks 2,4 --slice 4.5x4.5in"
)]
pub(crate) struct LayoutArgs {
    #[command(flatten)]
    choice: LayoutChoice,
    /// What the dial will be set to; a middling setting when not given.
    #[arg(long, value_name = "DEGREES")]
    dial: Option<String>,
}

/// The choices that decide a lay-out.
#[derive(Debug, Args)]
pub(crate) struct LayoutChoice {
    /// The oven, by id or name.
    #[arg(long)]
    oven: String,
    /// How it heats; the oven's first mode when not given.
    #[arg(long, value_parser = values::mode)]
    mode: Option<Mode>,
    /// Rack positions that carry slices at once, counted from the bottom.
    #[arg(long, value_name = "N,N..", value_delimiter = ',', required = true)]
    racks: Vec<u8>,
    /// Slice, along the door x front to back; bare figures in the oven's own unit.
    #[arg(long, value_name = "WxD", default_value = "10x10cm")]
    slice: String,
    /// Air between slices.
    #[arg(long, value_name = "LENGTH", default_value = "1cm")]
    gap: String,
    /// Air between slices and walls.
    #[arg(long, value_name = "LENGTH", default_value = "5cm")]
    clearance: String,
    /// Slices along the door x front to back; as many as fit when not given.
    #[arg(long, value_name = "CxR", value_parser = values::grid)]
    counts: Option<(usize, usize)>,
    /// Lay the slices where another test tells most, after those there are.
    #[arg(long)]
    next: bool,
}

impl LayoutChoice {
    pub(super) fn oven<'k>(&self, kitchen: &'k Kitchen) -> Result<&'k Oven, Trouble> {
        kitchen
            .find_oven(&self.oven)
            .or_trouble("--oven", &self.oven)
    }

    pub(super) fn mode_of(&self, oven: &Oven) -> Result<Mode, Trouble> {
        mode_of(oven, self.mode).or_trouble("--oven", &self.oven)
    }

    pub(super) fn request(&self, oven: &Oven) -> Result<LayoutRequest, Trouble> {
        let length =
            |name, text: &String| Centimetres::parse(text, oven.lengths).or_trouble(name, text);
        let (width, depth) =
            parse_size(&self.slice, oven.lengths).or_trouble("--slice", &self.slice)?;
        Ok(LayoutRequest {
            racks: self.racks.clone(),
            slice: SliceSize { width, depth },
            gap: length("--gap", &self.gap)?,
            clearance: length("--clearance", &self.clearance)?,
            counts: self.counts,
            dial: None,
        })
    }

    /// Names the option that a lay-out fails by, and what was typed for it.
    pub(super) fn blamed(
        &self,
        error: &LayoutError,
        dial: Option<&String>,
    ) -> (&'static str, String) {
        let slice = || ("--slice", self.slice.clone());
        match error {
            LayoutError::Oven(OvenError::NoSuchRack { .. })
            | LayoutError::NoRack
            | LayoutError::Twice(_) => ("--racks", listed(&self.racks)),
            LayoutError::Oven(_) | LayoutError::Proofing => {
                ("--mode", self.mode.map_or("", Mode::key).to_owned())
            }
            LayoutError::Dial(_) => ("--dial", dial.cloned().unwrap_or_default()),
            LayoutError::Size { what, .. } => match what {
                Measure::Width | Measure::Depth => slice(),
                Measure::Gap => ("--gap", self.gap.clone()),
                Measure::Clearance => ("--clearance", self.clearance.clone()),
            },
            LayoutError::TooMany { .. } => self
                .counts
                .map_or_else(slice, |(cols, rows)| ("--counts", format!("{cols}x{rows}"))),
        }
    }

    /// Finds the best places for the next test, where they were asked for.
    pub(super) fn next(&self, kitchen: &Kitchen, oven: &Oven) -> Result<Option<Outlook>, Trouble> {
        if !self.next {
            return Ok(None);
        }
        let mode = self.mode_of(oven)?;
        let asked = self
            .counts
            .map(|(cols, rows)| cols * rows * self.racks.len());
        next_on(kitchen, oven, mode, &self.racks, asked)
            .map(Some)
            .or_trouble("--next", &oven.name)
    }
}

pub(crate) fn run(args: &LayoutArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let (kitchen, _) = session.kitchen(Access::Read)?;
    let oven = args.choice.oven(&kitchen)?;
    let mode = args.choice.mode_of(oven)?;
    let read = |text: &str| Celsius::parse(text, oven.dial.unit);
    let dial = given("--dial", args.dial.as_ref(), read)?;
    let request = LayoutRequest {
        dial,
        ..args.choice.request(oven)?
    };
    let mut laid = lay_out(oven, mode, &request).map_err(|error| {
        let (option, typed) = args.choice.blamed(&error, args.dial.as_ref());
        Trouble::user(error).with(option, typed)
    })?;
    let took = took_before(&kitchen, &oven.id, (mode, laid.dial), &request.racks);
    let expected = laid.expected(took.as_ref());
    let outlook = args.choice.next(&kitchen, oven)?;
    if let Some(best) = outlook.as_ref().and_then(|o| o.ways.first()) {
        laid.slices.clone_from(&best.slices);
    }
    if session.json {
        return session.answer(&LayoutJson {
            cols: laid.cols,
            rows: laid.rows,
            per_rack: laid.per_rack,
            loaves: laid.loaves,
            dial_c: laid.dial.0,
            minutes_lo: expected.map(|m| m.0.0),
            minutes_hi: expected.map(|m| m.1.0),
            minutes_before: took.as_ref().map(|t| t.minutes.0),
            pull_when: laid.pull_when.clone(),
            slices: slices_json(&laid.slices),
            next: outlook.as_ref().map(next_json),
            cautions: cautions_at(Occasion::ToastTest, oven),
            warnings: texts(&laid.warnings),
        });
    }
    let out = &mut *session.out;
    for sentence in outlook.iter().flat_map(Outlook::sentences) {
        out.line(sentence)?;
    }
    out.line(format!(
        "{}, {}: {} slices of {} x {} on each rack, {} along the door x {} front to back; loaves needed: {}",
        oven.name,
        mode.words(),
        laid.per_rack,
        oven.lengths.show(request.slice.width),
        oven.lengths.show(request.slice.depth),
        laid.cols,
        laid.rows,
        laid.loaves
    ))?;
    out.line(format!(
        "dial at {}: {}",
        oven.dial.unit.show(laid.dial),
        laid.minutes_words(took.as_ref())
    ))?;
    out.line(&laid.pull_when)?;
    place_table(&laid.slices, oven.lengths, out)?;
    out.marked("!", cautions_at(Occasion::ToastTest, oven))?;
    for warning in &laid.warnings {
        out.remark(&warning.to_string());
    }
    Ok(Exit::Done)
}

/// Writes rack positions as they are typed: `2,4`.
pub(super) fn listed(racks: &[u8]) -> String {
    joined(racks, ",")
}

fn next_json(outlook: &Outlook) -> NextJson {
    let ways = outlook.ways.iter().map(|w| WayJson {
        way: w.way.words(),
        then_shade: w.then,
        slices: slices_json(&w.slices),
    });
    NextJson {
        now_shade: outlook.now,
        ways: ways.collect(),
    }
}

/// Prints where each slice goes.
pub(super) fn place_table(
    slices: &[Slice],
    lengths: LengthUnit,
    out: &mut Output,
) -> Result<(), Trouble> {
    let row = |(slice, number): (&Slice, usize)| {
        vec![
            number.to_string(),
            slice.rack.to_string(),
            lengths.show(slice.place.x),
            lengths.show(slice.place.y),
        ]
    };
    let rows: Vec<_> = slices.iter().zip(1..).map(row).collect();
    out.table(&["slice", "rack", "from left", "from door"], &rows)
}
