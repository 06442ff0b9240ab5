//! A dough's time as JSON.

use serde::Serialize;

/// How long a dough takes, for other programs: minutes and degrees Celsius.
#[derive(Debug, Serialize)]
pub struct RiseJson {
    /// The time, minutes.
    pub minutes: f64,
    /// Lower end of its 90 % interval.
    pub minutes_lo: f64,
    /// Upper end; null where the dough may not rise within a week.
    pub minutes_hi: Option<f64>,
    /// How many times as fast a dough rises once it is as warm as the box.
    pub rate_ratio: f64,
    /// How many times as fast it sours there; null for baker's yeast.
    pub souring_ratio: Option<f64>,
    /// How warm the box is, C.
    pub box_c: f64,
    /// How warm the dough is when it has risen, C.
    pub dough_end_c: f64,
    /// Peak to peak of the box's air, where it was read, C.
    pub swing_c: Option<f64>,
    /// Its coolest and its warmest place less their mean, where several were read, C.
    pub places_c: Option<[f64; 2]>,
    /// When to put the dough in, where it is to be ready by a time.
    pub put_in: Option<String>,
    /// When to take it out, so that the oven can heat.
    pub take_out: Option<String>,
    /// The beginning of the 90 % interval of when they are ready.
    pub ready_from: Option<String>,
    /// Its end; null where the dough may not rise within a week.
    pub ready_until: Option<String>,
    /// When dough and oven are ready then; later than wanted where there is too little time, as a warning says.
    pub ready: Option<String>,
    /// What else to know.
    pub warnings: Vec<String>,
}

/// A baker's own dough.
#[derive(Debug, Serialize)]
pub struct DoughJson {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// What makes it rise.
    pub dough: &'static str,
    /// How long it takes to double.
    pub known_min: f64,
    /// How warm it is then, C.
    pub known_at_c: f64,
    /// Weight of one piece, grams.
    pub mass_g: f64,
    /// How often it was put to rise.
    pub rises: usize,
    /// How many times as fast as its known time it rises, learnt from looks.
    pub pace: f64,
    /// How many rises taught that pace.
    pub looked: usize,
    /// Minutes it has been rising; null where it does not.
    pub rising_min: Option<f64>,
    /// How far it is, while it rises; null too where that cannot be told.
    pub rising: Option<RisingJson>,
}

/// How far a dough is.
#[derive(Debug, Serialize)]
pub struct RisingJson {
    /// Minutes it has been rising.
    pub elapsed_min: f64,
    /// Share of the rise that has gone on, 1 at twice the size.
    pub share: f64,
    /// Minutes left; negative when it is past.
    pub left_min: f64,
    /// Minutes it takes in all.
    pub total_min: f64,
    /// Lower end of the 90 % interval.
    pub total_min_lo: f64,
    /// Upper end.
    pub total_min_hi: f64,
    /// How many times as fast as its known time it rises, looks of this rise included.
    pub pace: f64,
    /// Whether the last look was too early, or too far from what was expected, to tell a pace.
    pub look_tells_nothing: bool,
}
