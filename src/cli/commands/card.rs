//! `card`: the shade card.

use crate::cli::prelude::*;
use crate::{
    model::shade::browning_per_shade,
    report::{
        card::{CardEntry, card_png, card_text},
        json_kitchen::CardJson,
    },
    workflow::catalogue::shade_card,
};
use std::path::PathBuf;

/// Show the shade card: digit, plain words and lightness of each whole shade.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  rackshade card\n  rackshade card --png card.png")]
pub(crate) struct CardArgs {
    /// Draw the card as a PNG picture into this file; - is standard output.
    #[arg(long, value_name = "FILE")]
    png: Option<PathBuf>,
    /// Replace the file if it is there already.
    #[arg(long, requires = "png")]
    force: bool,
}

pub(crate) fn run(args: &CardArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let entries: Vec<_> = shade_card()
        .iter()
        .map(|s| CardEntry::new(s.shade, &s.words, s.lab))
        .collect();
    if let Some(path) = &args.png {
        let picture = card_png(&entries).or_trouble("--png", path.display())?;
        let png = session.destination("--png", path, args.force)?;
        let written = session.deliver(&png, &picture)?;
        if written && !session.json {
            session
                .out
                .line(format!("card drawn to {}", path.display()))?;
        }
        if !session.json {
            return Ok(Exit::Done);
        }
    }
    if session.json {
        session
            .out
            .json(&CardJson::new(&entries, browning_per_shade()))?;
    } else {
        let environment = session.environment;
        let colours = environment.output_is_terminal && !environment.no_colour;
        // Its own words alone, and their colours.
        session.out.bytes(card_text(&entries, colours).as_bytes())?;
    }
    Ok(Exit::Done)
}
