//! What nearly every verb is written with.

pub(super) use super::{
    session::{Session, texts},
    trouble::{Exit, OrTrouble, Trouble},
    values,
};
pub(super) use crate::workflow::kitchen::{Access, Kitchen};
pub(super) use clap::{Args, Subcommand};
