//! The command line from outside: every verb's ordinary use, its wrong uses, and how it ends.

#![expect(
    clippy::disallowed_methods,
    reason = "a test writes its own input files"
)]
#![expect(clippy::unwrap_used, reason = "a test stops at the first surprise")]

mod after;
mod batches;
mod check;
mod compare;
mod faces;
mod folder;
mod huge_chunks;
mod kit;
mod map;
mod moving;
mod next;
mod ovens;
mod paper;
mod photo;
mod plan;
mod readings;
mod recipes;
mod rise;
mod score;
mod show;
mod tests;
mod usage;
mod walls;
