//! What nearly every screen is written with.

pub(crate) use super::{
    confirm::Confirm,
    effect::Save,
    event::MouseAct,
    keys::{Table, Typed, keys},
    place::Place,
    screen::{Room, as_usual},
    shared::{Asked, Shared},
    theme::{Role, Theme},
    trouble::Trouble,
    widgets::{ListWithDetails, Sentence, beside::below, list, sentences},
    worker::{Answer, Lane},
};
#[cfg(test)]
pub(crate) use super::{effect::Effect, keys::Key};
pub(crate) use ratatui::{
    Frame,
    buffer::Buffer,
    layout::{Constraint, Layout, Margin, Position, Rect},
    text::{Line, Span},
    widgets::{Paragraph, Wrap},
};
