//! `map`: the browning of every rack position, from stored tests or from a file of samples.

use crate::cli::prelude::*;
use crate::{
    cli::values::cavity_cm,
    model::{Mode, Oven},
    report::{
        Quantity,
        json_map::{MapJson, MapParts},
        paper::PaperError,
        text::{Characters, MapSheet, map_text},
    },
    workflow::{
        ground::{Ground, ground_of, ground_of_oven, ground_of_samples},
        paper::{fonts, map_picture},
        pool::Which,
        view::MapView,
    },
};
use std::path::PathBuf;

/// Map the browning of every rack position.
#[derive(Debug, Args)]
#[command(
    after_help = "A file of samples has the columns rack,x_cm,y_cm and shade or lightness (optional sd, size_cm);\nx from the left wall, y from the door.\n\nExamples:\n  rackshade map --oven wall-oven --mode still-air\n  rackshade map --test 2026-03-07-wall-oven --json\n  rackshade map --oven wall-oven --png map.png --rack 4\n  rackshade map --samples slices.csv --width-cm 63.5 --depth-cm 48.3 --grid 12x9 --json"
)]
pub(crate) struct MapArgs {
    #[command(flatten)]
    source: MapSource,
    /// Cells along the door x front to back.
    #[arg(long, value_name = "CxR", default_value = "24x18", value_parser = values::grid)]
    grid: (usize, usize),
    /// Draw one rack position as a PNG picture into this file; - is standard output.
    #[arg(long, value_name = "FILE")]
    png: Option<PathBuf>,
    /// Replace the file if it is there already.
    #[arg(long, requires = "png")]
    force: bool,
    /// The rack position to draw; the lowest tested one when not given.
    #[arg(long, value_name = "N", requires = "png")]
    rack: Option<u8>,
}

/// What a map is made from.
#[derive(Debug, Args)]
pub(crate) struct MapSource {
    /// One toast test.
    #[arg(long, conflicts_with_all = ["oven", "samples"])]
    test: Option<String>,
    /// The tests of an oven in one mode.
    #[arg(long, conflicts_with = "samples")]
    oven: Option<String>,
    /// The mode; the oven's first one when not given.
    #[arg(long, value_parser = values::mode, conflicts_with = "test")]
    mode: Option<Mode>,
    /// A CSV file of samples.
    #[arg(
        long,
        value_name = "FILE",
        requires = "width_cm",
        requires = "depth_cm"
    )]
    samples: Option<PathBuf>,
    /// Cavity width for the samples, left wall to right wall, cm.
    #[arg(long, value_name = "CM", requires = "samples", value_parser = cavity_cm)]
    width_cm: Option<f64>,
    /// Cavity depth for the samples, door to back wall, cm.
    #[arg(long, value_name = "CM", requires = "samples", value_parser = cavity_cm)]
    depth_cm: Option<f64>,
}

impl MapSource {
    /// Tells whether an oven of the kitchen was named, not a file of samples.
    pub(super) fn is_on_record(&self) -> bool {
        self.oven.is_some() || self.test.is_some()
    }

    /// Finds what was named and maps it; where there is no map, the ground says why.
    pub(super) fn ground(
        &self,
        grid: (usize, usize),
        session: &mut Session<'_>,
    ) -> Result<Ground, Trouble> {
        if let (Some(path), Some(width), Some(depth)) =
            (&self.samples, self.width_cm, self.depth_cm)
        {
            let mode = self.mode.unwrap_or(Mode::StillAir);
            return ground_of_samples(path, (width, depth), mode, grid)
                .or_trouble("--samples", path.display());
        }
        let (kitchen, _) = session.kitchen(Access::Read)?;
        match (&self.test, &self.oven) {
            (Some(id), _) => {
                let test = kitchen.find_test(id).or_trouble("--test", id)?;
                let oven = kitchen
                    .find_oven(test.setup.oven.as_str())
                    .or_trouble("--test", id)?;
                let which = Which::Alone(test.id.clone());
                ground_of(&kitchen, oven, &which, grid).or_trouble("--test", id)
            }
            (None, Some(id)) => {
                let oven = kitchen.find_oven(id).or_trouble("--oven", id)?;
                ground_of_oven(&kitchen, oven, self.mode, grid).or_trouble("--oven", id)
            }
            (None, None) => Err(Trouble::user(format!(
                "no oven was named; {}. Give --oven ID, --test ID or --samples FILE",
                kitchen.known_ovens()
            ))),
        }
    }
}

/// Lays a map out for its text form, in degrees of the oven's dial.
pub(super) fn sheet<'m>(view: &'m MapView, oven: &'m Oven) -> MapSheet<'m> {
    MapSheet {
        oven,
        map: &view.map,
        zones: &view.zones,
        evenness: &view.evenness,
        findings: &view.findings,
        warnings: &view.warnings,
        quantity: Quantity::degrees(oven.dial.unit, &view.sensitivity),
        characters: Characters::Ascii,
    }
}

pub(crate) fn run(args: &MapArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let png = session.png(args.png.as_deref(), args.force)?;
    let ground = args.source.ground(args.grid, session)?;
    let view = ground.tested().map_err(Trouble::user)?;
    if let Some(png) = &png {
        let path = png.path();
        let sheet = sheet(view, &ground.oven);
        let (rack, picture) = fonts()
            .and_then(|fonts| map_picture(&sheet, args.rack, &fonts))
            .map_err(|error| {
                let (name, typed) = match &error {
                    PaperError::NoSuchRack { rack, .. } => ("--rack", rack.to_string()),
                    _ => ("--png", path.display().to_string()),
                };
                Trouble::user(error).with(name, typed)
            })?;
        let written = session.deliver(png, &picture)?;
        if written && !session.json {
            let drawn = format!("rack {rack} drawn to {}", path.display());
            session.out.line(drawn)?;
        }
        if !session.json {
            return Ok(Exit::Done);
        }
    }
    if session.json {
        let parts = MapParts {
            map: &view.map,
            zones: &view.zones,
            evenness: &view.evenness,
            untoasted: view.untoasted,
        };
        let warnings = texts(&view.warnings);
        session
            .out
            .json(&MapJson::new(parts, &view.findings, warnings))?;
    } else {
        session.out.text(&map_text(&sheet(view, &ground.oven)))?;
    }
    Ok(Exit::Done)
}
