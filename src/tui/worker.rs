//! The worker threads: one for maps, plans and photos, one for what goes through an oven's whole record,
//! so that no key ever waits, and no map for a history.
//!
//! Each kind of job has one slot. A new job replaces one that still waits; a result that is no
//! longer wanted is told by its ticket and dropped in [`super::app::Slot::settle`].

use super::event::Event;
use crate::model::{BakeLog, Mode, Oven, OvenId, Plan, ToastTest};
use crate::report::png::tray_png;
use crate::sampling::{Request, Scores};
use crate::workflow::{
    after::{agree::Verdict, learn::with_own_curve, verdict_beside},
    choice::{Choices, choices},
    compare::{CompareView, TestGroup, compare_tests},
    history::{History, Mapped, history},
    kitchen::{Access, Kitchen},
    map::{MapView, map_with_bakes},
    paper::papers,
    photo::{OpenPhoto, open_photo, read_photo},
    picture::write_picture,
    plan::{Measured, PlanRequest, plan_bake, unusual, warn},
};
use jiff::civil::Date;
use std::{
    panic::{AssertUnwindSafe, catch_unwind},
    path::{Path, PathBuf},
    sync::{Arc, Condvar, Mutex, PoisonError, mpsc::Sender},
    thread,
};

/// Tells an answer that is still wanted from a stale one.
pub type Ticket = u64;

/// Work for the worker thread.
#[derive(Debug, Clone)]
pub enum Job {
    /// Fit the map of an oven to some of its tests.
    Fit(Box<FitJob>),
    /// Search the best plan.
    Plan(Box<PlanJob>),
    /// Open or read a photo.
    Photo(Box<PhotoJob>),
    /// Rank the ways on record for a bake.
    Choose(Box<ChoiceJob>),
    /// Compare before and after.
    Compare(Box<CompareJob>),
    /// Ask all bakes like one whether the map is off.
    Verdict(Box<VerdictJob>),
    /// Tell an oven's history.
    History(Box<HistoryJob>),
    /// Put an oven's card and technician's sheet on paper, into the data folder.
    Paper(Box<PaperJob>),
}

/// What asking the bakes of the map needs.
#[derive(Debug, Clone)]
pub struct VerdictJob {
    /// Comes back with the answer.
    pub ticket: Ticket,
    /// The data folder, read anew: everything on screen is saved in it.
    pub folder: PathBuf,
    /// The bake whose oven and mode are meant.
    pub bake: BakeLog,
}

/// What ranking the ways on record needs.
#[derive(Debug, Clone)]
pub struct ChoiceJob {
    /// Comes back with the answer.
    pub ticket: Ticket,
    /// The data folder, read anew: everything on screen is saved in it.
    pub folder: PathBuf,
    /// What is to be baked.
    pub request: PlanRequest,
    /// The day tests are as old as.
    pub today: Date,
}

/// What work on everything known of an oven needs.
#[derive(Debug, Clone)]
pub struct OvenJob {
    /// Comes back with the answer.
    pub ticket: Ticket,
    /// The data folder, read anew: everything on screen is saved in it.
    pub folder: PathBuf,
    /// The oven.
    pub oven: OvenId,
    /// Today.
    pub today: Date,
}

/// What telling an oven's history needs.
#[derive(Debug, Clone)]
pub struct HistoryJob {
    /// Of which oven.
    pub of: OvenJob,
    /// The history told last: its tests are not mapped again.
    pub known: Option<Arc<History>>,
}

/// What putting an oven on paper needs.
#[derive(Debug, Clone)]
pub struct PaperJob {
    /// Of which oven.
    pub of: OvenJob,
    /// How it heats; the first mode that was tested when `None`.
    pub mode: Option<Mode>,
}

/// What a map fit needs.
#[derive(Debug, Clone)]
pub struct FitJob {
    /// Comes back with the answer.
    pub ticket: Ticket,
    /// The oven.
    pub oven: Oven,
    /// The tests to pool.
    pub tests: Vec<ToastTest>,
    /// Bakes folded into the map.
    pub bakes: Vec<BakeLog>,
    /// Columns and rows of the map's grid.
    pub grid: (usize, usize),
}

/// What a plan search needs.
#[derive(Debug, Clone)]
pub struct PlanJob {
    /// Comes back with the answer.
    pub ticket: Ticket,
    /// The oven.
    pub oven: Oven,
    /// Its map, where there is one.
    pub view: Option<Arc<MapView>>,
    /// What is to be baked, and how.
    pub request: PlanRequest,
    /// The data folder, where scored bakes in it may tell the baker's own curve of the request's kind.
    pub learn_from: Option<PathBuf>,
    /// What the thermometer has told of the oven.
    pub measured: Measured,
}

/// What a comparison needs.
#[derive(Debug, Clone)]
pub struct CompareJob {
    /// Comes back with the answer.
    pub ticket: Ticket,
    /// The oven.
    pub oven: Oven,
    /// The tests before, to pool.
    pub before: Vec<ToastTest>,
    /// The tests after, to pool.
    pub after: Vec<ToastTest>,
    /// Columns and rows of the maps' grid.
    pub grid: (usize, usize),
}

/// What is to be done with a photo.
#[derive(Debug, Clone)]
pub struct PhotoJob {
    /// Comes back with the answer.
    pub ticket: Ticket,
    /// The work.
    pub task: PhotoTask,
}

/// Work on a photo.
#[derive(Debug, Clone)]
pub enum PhotoTask {
    /// Open a file.
    Open(PathBuf),
    /// Read the scores.
    Read(Box<ReadTask>),
    /// Draw the tray as if seen from above, with its scores.
    Draw(Box<DrawTask>),
}

/// What reading a photo needs.
#[derive(Debug, Clone)]
pub struct ReadTask {
    /// The photo.
    pub shot: Arc<OpenPhoto>,
    /// A second one of the tray turned end for end.
    pub turned: Option<Arc<OpenPhoto>>,
    /// What is asked of it.
    pub request: Request,
}

/// What a picture of the scored tray needs.
#[derive(Debug, Clone)]
pub struct DrawTask {
    /// The photo.
    pub shot: Arc<OpenPhoto>,
    /// What was read from it.
    pub scores: Arc<Scores>,
    /// Rows and columns of slices.
    pub counts: (usize, usize),
    /// Where the picture goes.
    pub path: PathBuf,
}

/// What became of a photo.
#[derive(Debug, Clone)]
pub enum PhotoAnswer {
    /// It is open.
    Opened(Arc<OpenPhoto>),
    /// It was read.
    Read(Arc<Scores>),
    /// The tray was drawn, into this file.
    Drawn(PathBuf),
}

/// An answer of the worker.
#[derive(Debug, Clone)]
pub enum Finished {
    /// A map, or why there is none.
    Map(Ticket, Result<Arc<MapView>, String>),
    /// A plan, or why there is none.
    Plan(Ticket, Result<Arc<Plan>, String>),
    /// A photo or its scores, or why there are none.
    Photo(Ticket, Result<Arc<PhotoAnswer>, String>),
    /// The ways on record, ranked, or why they could not be read.
    Choices(Ticket, Result<Arc<Choices>, String>),
    /// A comparison, or why there is none.
    Compare(Ticket, Result<Arc<CompareView>, String>),
    /// What the bakes say of the map (`None` where there is no map), or why they could not be read.
    Verdict(Ticket, Result<Arc<Option<Verdict>>, String>),
    /// A history, or why it could not be read.
    History(Ticket, Result<Arc<History>, String>),
    /// The papers written, or why they were not.
    Paper(Result<Vec<PathBuf>, String>),
}

#[derive(Default)]
struct Slots {
    fit: Option<Box<FitJob>>,
    plan: Option<Box<PlanJob>>,
    photo: Option<Box<PhotoJob>>,
    choose: Option<Box<ChoiceJob>>,
    compare: Option<Box<CompareJob>>,
    verdict: Option<Box<VerdictJob>>,
    history: Option<Box<HistoryJob>>,
    paper: Option<Box<PaperJob>>,
    closed: bool,
}

type Shelf = Arc<(Mutex<Slots>, Condvar)>;

/// Which jobs a thread takes.
#[derive(Debug, Clone, Copy)]
enum Hand {
    /// What somebody waits for with the screen in sight.
    Quick,
    /// What goes through a whole record: histories and papers.
    Slow,
}

impl Hand {
    const ALL: [Self; 2] = [Self::Quick, Self::Slow];

    fn name(self) -> &'static str {
        match self {
            Self::Quick => "worker",
            Self::Slow => "record worker",
        }
    }
}

/// The handle of the worker threads; dropping it lets each end after its present job.
pub(crate) struct Worker {
    shelf: Shelf,
}

impl Worker {
    /// Starts the threads; their answers arrive as [`Event::Finished`].
    ///
    /// # Errors
    /// The system's error when it gives no thread.
    pub(crate) fn start(answers: &Sender<Event>) -> std::io::Result<Self> {
        let worker = Self {
            shelf: Arc::default(),
        };
        for hand in Hand::ALL {
            let (theirs, answers) = (Arc::clone(&worker.shelf), answers.clone());
            thread::Builder::new()
                .name(hand.name().to_owned())
                .spawn(move || {
                    while let Some(job) = take(&theirs, hand) {
                        // Nobody listens any more: the program is ending.
                        if answers.send(Event::Finished(Box::new(work(job)))).is_err() {
                            break;
                        }
                    }
                })?;
        }
        Ok(worker)
    }

    /// Puts a job into its slot, in place of one that still waits there.
    pub(crate) fn give(&self, job: Job) {
        let (slots, bell) = &*self.shelf;
        let mut slots = slots.lock().unwrap_or_else(PoisonError::into_inner);
        match job {
            Job::Fit(fit) => slots.fit = Some(fit),
            Job::Plan(plan) => slots.plan = Some(plan),
            Job::Photo(photo) => slots.photo = Some(photo),
            Job::Choose(choose) => slots.choose = Some(choose),
            Job::Compare(compare) => slots.compare = Some(compare),
            Job::Verdict(verdict) => slots.verdict = Some(verdict),
            Job::History(history) => slots.history = Some(history),
            Job::Paper(paper) => slots.paper = Some(paper),
        }
        bell.notify_all();
    }
}

impl Drop for Worker {
    fn drop(&mut self) {
        let (slots, bell) = &*self.shelf;
        slots.lock().unwrap_or_else(PoisonError::into_inner).closed = true;
        bell.notify_all();
    }
}

/// Waits for a job of `hand`; `None` when the program ends.
fn take(shelf: &Shelf, hand: Hand) -> Option<Job> {
    let (slots, bell) = &**shelf;
    let mut slots = slots.lock().unwrap_or_else(PoisonError::into_inner);
    loop {
        if slots.closed {
            return None;
        }
        let job = match hand {
            Hand::Quick => slots.quick(),
            Hand::Slow => slots.slow(),
        };
        if job.is_some() {
            return job;
        }
        slots = bell.wait(slots).unwrap_or_else(PoisonError::into_inner);
    }
}

impl Slots {
    /// Takes the next job somebody waits for. A fit goes first: plans rest on it.
    fn quick(&mut self) -> Option<Job> {
        let fit = self.fit.take().map(Job::Fit);
        fit.or_else(|| self.plan.take().map(Job::Plan))
            .or_else(|| self.photo.take().map(Job::Photo))
            .or_else(|| self.choose.take().map(Job::Choose))
            .or_else(|| self.compare.take().map(Job::Compare))
            .or_else(|| self.verdict.take().map(Job::Verdict))
    }

    /// Takes the next job over a whole record.
    fn slow(&mut self) -> Option<Job> {
        let history = self.history.take().map(Job::History);
        history.or_else(|| self.paper.take().map(Job::Paper))
    }
}

/// Does one job.
pub fn work(job: Job) -> Finished {
    match job {
        Job::Fit(fit) => Finished::Map(fit.ticket, guarded(|| fitted(&fit))),
        Job::Choose(job) => Finished::Choices(
            job.ticket,
            guarded(|| {
                let kitchen = opened(&job.folder)?;
                Ok(choices(&kitchen, &job.request, job.today))
            }),
        ),
        Job::Plan(plan) => Finished::Plan(plan.ticket, guarded(|| planned(&plan))),
        Job::Photo(job) => Finished::Photo(job.ticket, guarded(|| with_photo(&job.task))),
        Job::Compare(job) => Finished::Compare(job.ticket, guarded(|| compared(&job))),
        Job::Verdict(job) => Finished::Verdict(
            job.ticket,
            guarded(|| Ok(verdict_beside(&opened(&job.folder)?, &job.bake))),
        ),
        Job::History(job) => Finished::History(job.of.ticket, guarded(|| told(&job))),
        Job::Paper(job) => Finished::Paper(
            guarded(|| {
                of_oven(&job.of, |kitchen, oven| {
                    papers(kitchen, &oven.id, job.mode, job.of.today).map_err(|e| e.to_string())
                })
            })
            .map(Arc::unwrap_or_clone),
        ),
    }
}

/// Runs an engine. A panic inside it is our bug, but must not take the scores on screen with it.
fn guarded<T>(engine: impl FnOnce() -> Result<T, String>) -> Result<Arc<T>, String> {
    const BUG: &str = "this calculation broke off, which is a fault of the program; \
                       your scores are safe, please report it with the stored test";
    catch_unwind(AssertUnwindSafe(engine))
        .unwrap_or_else(|_| Err(BUG.to_owned()))
        .map(Arc::new)
}

fn opened(folder: &Path) -> Result<Kitchen, String> {
    Kitchen::open(folder, Access::Read)
        .map(|(kitchen, _)| kitchen)
        .map_err(|e| e.to_string())
}

fn fitted(fit: &FitJob) -> Result<MapView, String> {
    let tests: Vec<&ToastTest> = fit.tests.iter().collect();
    let bakes: Vec<&BakeLog> = fit.bakes.iter().collect();
    map_with_bakes(&fit.oven, &tests, &bakes, fit.grid).map_err(|e| e.to_string())
}

fn planned(job: &PlanJob) -> Result<Plan, String> {
    let kind = &job.request.kind;
    let (kind, own) = match &job.learn_from {
        Some(folder) => with_own_curve(&opened(folder)?, kind),
        None => (kind.clone(), None),
    };
    let request = PlanRequest {
        kind,
        ..job.request.clone()
    };
    let mut made = plan_bake(&job.oven, job.view.as_deref(), &request, &job.measured)
        .map_err(|e| e.to_string())?;
    warn(&mut made, &unusual(&request, job.oven.dial.unit));
    made.advice.extend(own.map(|own| own.advice()));
    Ok(made)
}

fn compared(job: &CompareJob) -> Result<CompareView, String> {
    let (before, after): (Vec<&ToastTest>, Vec<&ToastTest>) =
        (job.before.iter().collect(), job.after.iter().collect());
    let side = |tests| TestGroup {
        oven: &job.oven,
        tests,
    };
    compare_tests(side(&before), side(&after), job.grid).map_err(|e| e.to_string())
}

fn told(job: &HistoryJob) -> Result<History, String> {
    let nothing = Mapped::default();
    let known = job.known.as_ref().map_or(&nothing, |life| &life.mapped);
    of_oven(&job.of, |kitchen, oven| {
        Ok(history(kitchen, oven, job.of.today, known))
    })
}

/// Reads the folder anew and works on one oven in it.
fn of_oven<T>(
    job: &OvenJob,
    work: impl FnOnce(&Kitchen, &Oven) -> Result<T, String>,
) -> Result<T, String> {
    let kitchen = opened(&job.folder)?;
    let oven = kitchen
        .oven(&job.oven)
        .ok_or_else(|| "this oven is no longer on the disk".to_owned())?;
    work(&kitchen, oven)
}

/// Opens or reads a photo.
fn with_photo(task: &PhotoTask) -> Result<PhotoAnswer, String> {
    match task {
        PhotoTask::Open(path) => open_photo(path)
            .map(|shot| PhotoAnswer::Opened(Arc::new(shot)))
            .map_err(|e| e.to_string()),
        PhotoTask::Read(read) => read_photo(
            &read.shot,
            &read.request,
            read.turned.as_deref().map(|turned| (turned, None)),
        )
        .map(|scores| PhotoAnswer::Read(Arc::new(scores)))
        .map_err(|e| e.to_string()),
        PhotoTask::Draw(draw) => {
            let drawn = tray_png(&draw.shot.photo.picture, &draw.scores, draw.counts)
                .map_err(|e| e.to_string())?;
            write_picture(&draw.path, &drawn).map_err(|e| e.to_string())?;
            Ok(PhotoAnswer::Drawn(draw.path.clone()))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_history_keeps_no_map_waiting() {
        let of = OvenJob {
            ticket: 1,
            folder: PathBuf::new(),
            oven: OvenId::new("wall-oven").unwrap(),
            today: jiff::civil::date(2026, 4, 20),
        };
        let verdict = VerdictJob {
            ticket: 2,
            folder: PathBuf::new(),
            bake: Kitchen::throwaway_copy().unwrap().0.bakes()[0].clone(),
        };
        let mut slots = Slots {
            history: Some(Box::new(HistoryJob {
                of: of.clone(),
                known: None,
            })),
            paper: Some(Box::new(PaperJob { of, mode: None })),
            verdict: Some(Box::new(verdict)),
            ..Slots::default()
        };
        assert!(matches!(slots.quick(), Some(Job::Verdict(_))));
        assert!(slots.quick().is_none());
        assert!(matches!(slots.slow(), Some(Job::History(_))));
        assert!(matches!(slots.slow(), Some(Job::Paper(_))));
        assert!(slots.slow().is_none());
    }
}
