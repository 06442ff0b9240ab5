//! One function for each thing a user can do, shared by the terminal screens and the command line.

pub mod after;
pub mod browse;
pub mod catalogue;
pub mod choice;
pub mod compare;
pub mod describe;
pub mod findings;
pub mod ground;
pub mod history;
pub mod kitchen;
pub mod layout;
pub mod map;
pub mod observe;
pub mod output;
pub mod paper;
pub mod photo;
pub mod picture;
pub mod plan;
pub mod pool;
pub mod readings;
pub mod round;
pub mod samples;
pub mod scoring;
pub mod sensitivity;
pub mod toast;
pub mod view;
