//! The terminal face: an `Event` changes the `App` in `update`, `view` draws it.
//!
//! ```text
//! input thread  ->  Event  ->  update(&mut App, Event)  ->  effects waiting in Shared
//! worker threads ->                                          |
//! clock          ->        view(&App, &mut Frame)  <-  run loop carries out
//! ```
//!
//! A screen is a room of its own, written as a `screen::Room`; DEVELOPERS.md says how one is added.

pub mod app;
pub(crate) mod bell;
pub mod chrome;
pub(crate) mod confirm;
pub(crate) mod conflict;
pub(crate) mod day;
pub mod effect;
pub mod event;
mod everywhere;
#[cfg(test)]
mod fixture;
pub mod graphics;
mod hints;
pub mod keys;
mod notice;
mod outside;
mod pixels;
pub mod place;
pub mod popup;
mod popups;
pub(crate) mod prelude;
mod run;
mod saving;
pub(crate) mod screen;
pub(crate) mod screens;
pub mod shared;
mod terminal;
pub mod theme;
pub mod trouble;
pub mod update;
pub mod view;
pub mod widgets;
pub mod worker;

pub use run::{KeyTable, TuiError, TuiOptions, key_tables, run, step};
