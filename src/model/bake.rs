//! Kinds of bake, and the log of what was baked.

use super::{
    id::{BakeId, OvenId, RecipeId, RecipeName},
    moment::Moment,
    oven::Mode,
    plan::Plan,
    shade::Shade,
};
use crate::units::{Celsius, Minutes};
use std::ops::RangeInclusive;

/// How long a bake can be, minutes.
pub const BAKE_TIMES: RangeInclusive<f64> = 2.0..=600.0;

/// How the surface of a kind of bake warms, dries and then browns.
///
/// First-order rise to 100 C (`rise`), a plateau while it dries, then an approach (`approach`) to
/// `100 + reach (T_air - 100)`; modelled defaults, to be refitted from a baker's own bakes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DoseCurve {
    /// Temperature it goes in at: room, refrigerator or proofing warmth.
    pub start: Celsius,
    /// Time constant of the rise to 100 C, seconds.
    pub rise_s: f64,
    /// Length of the drying plateau, minutes.
    pub plateau_min: f64,
    /// Time constant of the approach to the final surface temperature, seconds.
    pub approach_s: f64,
    /// Share of the way from 100 C to the air temperature that the surface reaches, 0..1.
    pub reach: f64,
}

/// Until when a kind of bake must be left alone, or it falls.
#[derive(Debug, Clone, PartialEq)]
pub struct SetAt {
    /// Share of its time before which the door stays shut, 0..1.
    pub share: f64,
    /// Why.
    pub reason: String,
}

/// A kind of bake with its customary figures and the reasons for them.
#[derive(Debug, Clone, PartialEq)]
pub struct BakeKind {
    /// Key used on the command line: `thin-cookie`.
    pub key: String,
    /// Plain name: `thin cookies`.
    pub name: String,
    /// The recipe's temperature in still air.
    pub recipe: Celsius,
    /// The recipe's time.
    pub time: Minutes,
    /// When it browns.
    pub curve: DoseCurve,
    /// Whether its base burns easily (sugar): keep it away from bottom heat.
    pub sugared_base: bool,
    /// Until when it must be left alone; `None` where an opening does no harm.
    pub set_at: Option<SetAt>,
    /// Why these figures.
    pub reason: String,
    /// The baker's own recipe that name, temperature and time are of; `None` for the kind itself.
    pub own: Option<RecipeId>,
    /// Whether that recipe is written for a fan.
    pub for_fan: bool,
}

impl BakeKind {
    /// Returns which recipe of the baker's own this is, if any.
    pub fn recipe_name(&self) -> Option<RecipeName> {
        let id = self.own.clone()?;
        Some(RecipeName {
            id,
            name: self.name.clone(),
        })
    }
}

/// Returns how long the door is taken to stand open for a move of `trays` trays: half a minute for one and a quarter
/// more for each further one (typical, to be replaced by readings of the oven).
pub fn handling(trays: usize) -> Minutes {
    Minutes(0.25 + 0.25 * trays as f64)
}

/// One opening of the door during a bake.
#[derive(Debug, Clone, PartialEq)]
pub struct DoorOpening {
    /// Minutes into the bake when it was opened.
    pub at: Minutes,
    /// How long it stood open, where noted.
    pub open_for: Option<Minutes>,
    /// What was done.
    pub what: Opened,
}

/// What a door was opened for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Opened {
    /// A look, which moves nothing.
    Look,
    /// A move of the plan, in words.
    Move(String),
}

impl Opened {
    /// Says what was done.
    pub fn words(&self) -> &str {
        match self {
            Self::Look => "looked in",
            Self::Move(words) => words,
        }
    }
}

impl DoorOpening {
    /// Tells a move of the plan from a look through the door.
    pub fn is_move(&self) -> bool {
        match self.what {
            Opened::Look => false,
            Opened::Move(_) => true,
        }
    }
}

/// How one piece came out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PieceScore {
    /// Tray number, from 1.
    pub tray: usize,
    /// Row on the tray as it first went in, 0 at the back.
    pub row: usize,
    /// Column on the tray as it first went in, 0 at the left.
    pub col: usize,
    /// Its shade on the card.
    pub shade: Shade,
    /// Minutes into the bake at which it was pulled; `None` for a piece that came out with the rest.
    pub pulled: Option<Minutes>,
}

/// How well a photo tells the pieces of a tray that were scored from it.
#[derive(Debug, Clone, PartialEq)]
pub struct TrayPhoto {
    /// Tray number, from 1.
    pub tray: usize,
    /// Rows and columns of the pieces whose shade is still the photo's, from 0 at the back left.
    pub pieces: Vec<(usize, usize)>,
    /// Standard error of the level that all its pieces share, shades.
    pub level_shade: f64,
    /// What is left of the light: standard error of a lean from the middle of the tray to an edge, natural logarithm.
    pub lean: f64,
}

impl TrayPhoto {
    /// Tells whether a piece has its shade from this photo.
    pub fn shows(&self, piece: &PieceScore) -> bool {
        self.tray == piece.tray && self.pieces.contains(&(piece.row, piece.col))
    }
}

/// What was actually baked by a plan and how it came out.
#[derive(Debug, Clone, PartialEq)]
pub struct BakeLog {
    /// Its id.
    pub id: BakeId,
    /// Which oven.
    pub oven: OvenId,
    /// How it heated.
    pub mode: Mode,
    /// Key of the kind of bake.
    pub kind: String,
    /// When it began.
    pub started: Moment,
    /// The plan it followed.
    pub plan: Plan,
    /// Every opening of the door, in order.
    pub openings: Vec<DoorOpening>,
    /// Minutes it took; `None` while it runs or when it was given up.
    pub baked: Option<Minutes>,
    /// Minutes the baker added to the plan's end by hand, or took off it (negative).
    pub added: Minutes,
    /// Shades of what came out, where scored: tray number and shade.
    pub outcome: Vec<(usize, Shade)>,
    /// Shades of single pieces, where scored.
    pub pieces: Vec<PieceScore>,
    /// The trays whose pieces were scored from a photo.
    pub photos: Vec<TrayPhoto>,
    /// The shade it was meant to have.
    pub wanted: Option<Shade>,
    /// Whether what came out counts for the oven's map.
    pub in_map: bool,
    /// Free words.
    pub note: String,
}

impl BakeLog {
    /// Longer than anything bakes: a clock that ran on for longer was forgotten.
    pub const LONGEST: Minutes = Minutes(6000.0);

    /// Makes the log of a bake that begins at `started` by `plan`; nothing has happened yet.
    pub fn begin(id: BakeId, oven: OvenId, mode: Mode, started: Moment, plan: Plan) -> Self {
        Self {
            id,
            oven,
            mode,
            kind: plan.kind.clone(),
            started,
            plan,
            openings: Vec::new(),
            baked: None,
            added: Minutes(0.0),
            outcome: Vec::new(),
            pieces: Vec::new(),
            photos: Vec::new(),
            wanted: None,
            in_map: false,
            note: String::new(),
        }
    }

    /// Returns the whole minutes by which the door delays the bake: what browns nothing while a door stands open longer
    /// than the plan allows for. A look is never allowed for.
    pub fn door_delay(&self) -> Minutes {
        let allowed = handling(self.trays().len());
        let longer = self.openings.iter().map(|o| {
            let open = o.open_for.map_or(0.0, |m| m.0);
            (open - if o.is_move() { allowed.0 } else { 0.0 }).max(0.0)
        });
        Minutes(longer.sum::<f64>().floor())
    }

    /// Returns when it is due out, minutes into the bake: the plan's end, the minutes added and what the door delays.
    pub fn due_out(&self) -> Minutes {
        Minutes((self.plan.bake.0 + self.added.0 + self.door_delay().0).max(0.0))
    }

    /// Returns the numbers of the trays, rising.
    pub fn trays(&self) -> Vec<usize> {
        let first = self.plan.segments.first();
        let mut trays: Vec<usize> = first
            .map(|s| s.trays.iter().map(|t| t.tray).collect())
            .unwrap_or_default();
        trays.sort_unstable();
        trays
    }

    /// Returns the score of a piece; rows and columns count from 0 at the back left of the tray as it went in.
    pub fn piece(&self, tray: usize, row: usize, col: usize) -> Option<&PieceScore> {
        let same = |p: &&PieceScore| (p.tray, p.row, p.col) == (tray, row, col);
        self.pieces.iter().find(same)
    }

    /// Sets a piece's score by eye, over an earlier one of the same piece.
    pub fn score_piece(&mut self, score: PieceScore) {
        for photo in self.photos.iter_mut().filter(|p| p.tray == score.tray) {
            photo.pieces.retain(|p| *p != (score.row, score.col));
        }
        self.photos.retain(|p| !p.pieces.is_empty());
        let place = |p: &PieceScore| (p.tray, p.row, p.col);
        self.pieces.retain(|p| place(p) != place(&score));
        self.pieces.push(score);
        self.pieces.sort_by_key(place);
    }

    /// Sets a whole tray's score, over an earlier one.
    pub fn score_tray(&mut self, tray: usize, shade: Shade) {
        self.outcome.retain(|(t, _)| *t != tray);
        self.outcome.push((tray, shade));
        self.outcome.sort_by_key(|(t, _)| *t);
    }
}
