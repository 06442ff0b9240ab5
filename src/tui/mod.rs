//! The terminal face: the only module that names ratatui and crossterm.

pub mod theme;
pub mod widgets;
