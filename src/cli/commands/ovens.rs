//! `ovens`: list, show, add and change ovens.

use crate::cli::prelude::*;
use crate::{
    cli::values::{moment, name, note},
    model::{Oven, ServiceVisit, text::joined},
    report::{
        json_kitchen::{OvenJson, TemplateJson},
        text::oven_words,
    },
    units::{LengthUnit, TemperatureUnit},
    workflow::{
        catalogue::oven_templates,
        describe::{DescribeError, OvenDraft, OvenEdit, add_visit, edit_oven},
        kitchen::Moved,
    },
};
use jiff::civil::DateTime;
use std::path::PathBuf;

/// List, show, add and change ovens.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  rackshade ovens add --from wall-oven-30-inch --name 'wall oven' --width 24.5in"
)]
pub(crate) struct OvensArgs {
    #[command(subcommand)]
    what: Option<What>,
}

#[derive(Debug, Subcommand)]
enum What {
    /// List the ovens (the same as without a word).
    #[command(after_help = "Example:\n  rackshade ovens list --json")]
    List,
    /// List the templates an oven can start from.
    #[command(after_help = "Example:\n  rackshade ovens templates")]
    Templates,
    /// Show one oven.
    #[command(after_help = "Example:\n  rackshade ovens show wall-oven")]
    Show {
        /// Its id or name.
        oven: String,
    },
    /// Add an oven from a template, with what differs.
    #[command(
        after_help = "Example:\n  rackshade ovens add --from gas-range-slide-in --name 'school range' --racks 2in,5in,8in,11in"
    )]
    Add(Box<AddArgs>),
    /// Change the name, note, make, model, serial number or contact of an oven.
    #[command(
        after_help = "Make, model, serial number and contact stand on the technician's sheet; exports leave them out.\n\nExample:\n  rackshade ovens edit wall-oven --make 'Hearth & Sons' --model W30 --serial SN-4711"
    )]
    Edit {
        /// Its id or name.
        oven: String,
        #[command(flatten)]
        edit: EditArgs,
    },
    /// Put a dated service visit into an oven's record.
    #[command(
        after_help = "Example:\n  rackshade ovens visit wall-oven --when 2026-04-02T14:00 --what 'new bottom element'"
    )]
    Visit {
        /// Its id or name.
        oven: String,
        /// When it was done, local time: a day, or a day and a time; now when not given.
        #[arg(long, value_name = "YYYY-MM-DD[THH:MM]", value_parser = moment, alias = "date")]
        when: Option<DateTime>,
        /// What was done, by whom.
        #[arg(long, value_parser = note)]
        what: String,
    },
    /// Remove an oven with its tests; the files are set aside, not destroyed.
    #[command(after_help = "Example:\n  rackshade ovens remove wall-oven")]
    Remove {
        /// Its id or name.
        oven: String,
    },
}

#[derive(Debug, Args)]
#[group(required = true, multiple = true)]
struct EditArgs {
    /// Name, as you say it.
    #[arg(long, value_parser = name)]
    name: Option<String>,
    /// Make, from its plate.
    #[arg(long, value_parser = name)]
    make: Option<String>,
    /// Model, from its plate.
    #[arg(long, value_parser = name)]
    model: Option<String>,
    /// Serial number, from its plate.
    #[arg(long, value_parser = name)]
    serial: Option<String>,
    /// Whom to call about it.
    #[arg(long, value_parser = name)]
    contact: Option<String>,
    /// Free words.
    #[arg(long, value_parser = note)]
    note: Option<String>,
}

impl From<EditArgs> for OvenEdit {
    fn from(args: EditArgs) -> Self {
        Self {
            name: args.name,
            make: args.make,
            model: args.model,
            serial: args.serial,
            contact: args.contact,
            note: args.note,
        }
    }
}

#[derive(Debug, Args)]
struct AddArgs {
    /// Template to start from (see `ovens templates`).
    #[arg(long, value_name = "TEMPLATE")]
    from: String,
    /// Name, as you say it.
    #[arg(long, value_parser = name)]
    name: Option<String>,
    /// Cavity width, left wall to right wall.
    #[arg(long, value_name = "LENGTH")]
    width: Option<String>,
    /// Cavity depth, door to back wall.
    #[arg(long, value_name = "LENGTH")]
    depth: Option<String>,
    /// Cavity height, floor to ceiling.
    #[arg(long, value_name = "LENGTH")]
    height: Option<String>,
    /// Heights of the rack positions above the floor, from the bottom up.
    #[arg(long, value_name = "LENGTH,LENGTH..")]
    racks: Option<String>,
    /// Modes it has.
    #[arg(long, value_name = "MODE,MODE..")]
    modes: Option<String>,
    /// Heat sources.
    #[arg(long, value_name = "SOURCE,SOURCE..")]
    heat: Option<String>,
    /// Unit of the dial, F or C.
    #[arg(long, value_name = "UNIT", value_parser = dial_unit)]
    dial_unit: Option<TemperatureUnit>,
    /// Smallest step of the dial.
    #[arg(long, value_name = "DEGREES")]
    dial_step: Option<String>,
    /// Lowest setting of the dial.
    #[arg(long, value_name = "DEGREES")]
    lowest: Option<String>,
    /// Highest setting of the dial.
    #[arg(long, value_name = "DEGREES")]
    highest: Option<String>,
    /// Unit lengths are shown in, in or cm.
    #[arg(long, value_name = "UNIT", value_parser = length_unit)]
    lengths: Option<LengthUnit>,
    /// Free words.
    #[arg(long, value_parser = note)]
    note: Option<String>,
}

fn dial_unit(text: &str) -> Result<TemperatureUnit, ValueError> {
    match text {
        "F" | "f" => Ok(TemperatureUnit::Fahrenheit),
        "C" | "c" => Ok(TemperatureUnit::Celsius),
        _ => Err(ValueError::Choose("write F or C")),
    }
}

fn length_unit(text: &str) -> Result<LengthUnit, ValueError> {
    match text {
        "in" => Ok(LengthUnit::Inches),
        "cm" => Ok(LengthUnit::Centimetres),
        _ => Err(ValueError::Choose("write in or cm")),
    }
}

impl From<AddArgs> for OvenDraft {
    fn from(args: AddArgs) -> Self {
        Self {
            template: args.from,
            name: args.name,
            width: args.width,
            depth: args.depth,
            height: args.height,
            racks: args.racks,
            modes: args.modes,
            heat: args.heat,
            dial_unit: args.dial_unit,
            dial_step: args.dial_step,
            lowest: args.lowest,
            highest: args.highest,
            lengths: args.lengths,
            note: args.note,
        }
    }
}

pub(crate) fn run(args: OvensArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    match args.what.unwrap_or(What::List) {
        What::List => return list(session),
        What::Templates => templates(session)?,
        What::Show { oven } => {
            let (kitchen, _) = session.kitchen(Access::Read)?;
            let oven = kitchen.find_oven(&oven).or_trouble("oven", &oven)?;
            show(oven, session)?;
        }
        What::Add(args) => {
            let (mut kitchen, _) = session.kitchen(Access::Write)?;
            let oven = OvenDraft::from(*args)
                .build(&kitchen)
                .map_err(Trouble::user)?;
            kitchen.save_oven(oven.clone())?;
            show(&oven, session)?;
        }
        What::Edit { oven, edit } => {
            let (mut kitchen, _) = session.kitchen(Access::Write)?;
            let oven = edit_oven(&mut kitchen, &oven, edit.into())?;
            show(&oven, session)?;
        }
        What::Visit { oven, when, what } => {
            let (mut kitchen, _) = session.kitchen(Access::Write)?;
            let now = session.environment.now.civil();
            let when = when.unwrap_or(now);
            let added = add_visit(&mut kitchen, &oven, ServiceVisit { when, what }, now);
            let oven = added.map_err(|error| match error {
                DescribeError::NoWork => Trouble::from(error).with("--what", "(nothing)"),
                other => other.into(),
            })?;
            show(&oven, session)?;
        }
        What::Remove { oven } => {
            let (mut kitchen, _) = session.kitchen(Access::Write)?;
            let oven = kitchen.find_oven(&oven).or_trouble("oven", &oven)?.clone();
            let moved = kitchen.remove_oven(&oven.id)?;
            show(&oven, session)?;
            session.out.remarks(&format!(
                "{} and all that belongs to it were set aside under {}; to take all back, move from there\n{}",
                oven.name,
                kitchen.folder().join("removed").display(),
                way_back(&moved)
            ));
        }
    }
    Ok(Exit::Done)
}

/// Most files named in one line: one of trouble is cut off where it is too long.
const IN_A_LINE: usize = 12;

/// Says which of the files set aside goes where, in lines like `a.json, b.json to tests,`.
fn way_back(moved: &[Moved]) -> String {
    let name = |path: &PathBuf| path.file_name().unwrap_or_default().display().to_string();
    let folder = |(_, was): &Moved| was.parent().map(|folder| name(&folder.to_owned()));
    let groups = moved.chunk_by(|a, b| folder(a) == folder(b));
    let lines = groups.flat_map(|group| group.chunks(IN_A_LINE));
    let lines = lines.map(|group| {
        let files = group.iter().map(|(aside, was)| match name(aside) {
            same if same == name(was) => same,
            // Another file of that name was set aside before.
            other => format!("{other} (as {})", name(was)),
        });
        let to = folder(&group[0]).unwrap_or_default();
        format!("{} to {to}", joined(files, ", "))
    });
    joined(lines, ",\n")
}

fn list(session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let (kitchen, warnings) = session.kitchen(Access::Read)?;
    let rows: Vec<_> = kitchen
        .ovens()
        .iter()
        .map(|oven| {
            let mut row = cells(oven);
            row.push(kitchen.tests_of(&oven.id).len().to_string());
            row
        })
        .collect();
    session.list(
        &Listed::<OvenJson>::new("ovens", kitchen.ovens(), texts(&warnings)),
        "no oven yet: add one with 'rackshade ovens add --from TEMPLATE', see 'rackshade ovens templates'",
        &["id", "name", "cavity", "racks", "modes", "tests"],
        &rows,
    )
}

fn cells(oven: &Oven) -> Vec<String> {
    let c = oven.cavity;
    let size = [c.width, c.depth, c.height]
        .map(|l| oven.lengths.show(l))
        .join(" x ");
    let modes: Vec<_> = oven.modes.iter().map(|m| m.words()).collect();
    vec![
        oven.id.to_string(),
        oven.name.clone(),
        size,
        oven.racks.len().to_string(),
        modes.join(", "),
    ]
}

fn templates(session: &mut Session<'_>) -> Result<(), Trouble> {
    let all = oven_templates();
    if session.json {
        let things = all.iter().map(|t| TemplateJson {
            key: t.key.clone(),
            reason: t.reason.clone(),
            oven: (&t.oven).into(),
        });
        return session.out.json(&Listed {
            word: "templates",
            things: things.collect(),
            warnings: None,
        });
    }
    for template in all {
        let [key, name, size, racks, modes] = &cells(&template.oven)[..] else {
            continue;
        };
        session.out.line(format!(
            "{key}: {name}, {size}, {racks} rack positions, {modes}"
        ))?;
        session.out.line(format!("  {}", template.reason))?;
    }
    Ok(())
}

fn show(oven: &Oven, session: &mut Session<'_>) -> Result<(), Trouble> {
    if session.json {
        return session.out.json(&OvenJson::from(oven));
    }
    let out = &mut *session.out;
    let [cavity, racks, heat, modes, dial] = oven_words(oven);
    out.line(format!("{} ({})", oven.name, oven.id))?;
    out.line(format!("  cavity  {cavity}"))?;
    out.line(format!("  racks   {racks} (above the floor)"))?;
    out.line(format!("  heat    {heat}"))?;
    out.line(format!("  modes   {modes}"))?;
    out.line(format!("  dial    {dial}"))?;
    for (part, words) in oven.plate.parts() {
        if !words.is_empty() {
            out.line(format!("  {part:<7} {words}"))?;
        }
    }
    for visit in &oven.visits {
        out.line(format!("  visit   {}: {}", visit.moment(), visit.what))?;
    }
    if !oven.note.is_empty() {
        out.line(format!("  note    {}", oven.note))?;
    }
    Ok(())
}
