//! What nearly every verb is written with.

pub(super) use super::{
    session::{Session, of_one, texts},
    trouble::{Exit, OrTrouble, Trouble, given},
    values::{self, ValueError, not_one_of},
};
pub(super) use crate::report::json::Listed;
pub(super) use crate::workflow::kitchen::{Access, Kitchen};
pub(super) use clap::{Args, Subcommand};
