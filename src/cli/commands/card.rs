//! `card`: the shade card.

use crate::{
    cli::{
        session::Session,
        trouble::{Exit, Trouble},
    },
    model::shade::browning_per_shade,
    report::{
        card::{CardEntry, card_text},
        json_kitchen::CardJson,
    },
    workflow::catalogue::shade_card,
};
use clap::Args;

/// Show the shade card: digit, plain words and lightness of each whole shade.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  rackshade card")]
pub(in crate::cli) struct CardArgs {}

pub(in crate::cli) fn run(_args: &CardArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let entries: Vec<_> = shade_card()
        .iter()
        .map(|s| CardEntry::new(s.shade, &s.words, s.lab))
        .collect();
    if session.json {
        session
            .out
            .json(&CardJson::new(&entries, browning_per_shade()))?;
    } else {
        let environment = session.environment;
        let colours = environment.output_is_terminal && !environment.no_colour;
        session.out.text(&card_text(&entries, colours))?;
    }
    Ok(Exit::Done)
}
