//! The worker threads: one for what somebody waits for with a screen in sight, one for what goes through a
//! whole record, one for photos, so that no key ever waits, and no map for a history or a photo.
//!
//! A job carries all it needs; nothing is read from the disk again. A new job takes the place of one of its kind
//! that still waits, and an answer that is no longer wanted is told by its ticket.

use super::trouble::Trouble;
use std::{
    any::{Any, TypeId},
    fmt,
    panic::{AssertUnwindSafe, catch_unwind},
    sync::{Arc, Condvar, Mutex, PoisonError},
    thread,
};

/// Tells an answer that is still wanted from a stale one.
pub type Ticket = u64;

/// Which thread does a job.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lane {
    /// What somebody waits for with the screen in sight.
    Quick,
    /// What goes through a whole record: histories and papers.
    Slow,
    /// What is done with photos.
    Photo,
}

impl Lane {
    /// Every thread.
    pub(crate) const ALL: [Self; 3] = [Self::Quick, Self::Slow, Self::Photo];

    fn name(self) -> &'static str {
        match self {
            Self::Quick => "worker",
            Self::Slow => "record worker",
            Self::Photo => "photo worker",
        }
    }
}

type Value = Arc<dyn Any + Send + Sync>;

/// Work for a worker thread.
pub struct Job {
    ticket: Ticket,
    lane: Lane,
    kind: TypeId,
    work: Box<dyn FnOnce() -> Result<Value, Trouble> + Send>,
}

impl fmt::Debug for Job {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Job({}, {:?})", self.ticket, self.lane)
    }
}

/// The answer to a job.
#[derive(Debug, Clone)]
pub struct Answer {
    ticket: Ticket,
    value: Result<Value, Arc<Trouble>>,
}

impl Job {
    /// Makes a job that answers with a `T`; jobs with the same sort of answer are of one kind.
    pub(crate) fn new<T: Send + Sync + 'static>(
        ticket: Ticket,
        lane: Lane,
        work: impl FnOnce() -> Result<T, Trouble> + Send + 'static,
    ) -> Self {
        Self {
            ticket,
            lane,
            kind: TypeId::of::<T>(),
            work: Box::new(move || work().map(|t| Arc::new(t) as Value)),
        }
    }
}

impl Answer {
    /// Returns what was found, when it is a `T`.
    pub fn value<T: Send + Sync + 'static>(&self) -> Option<Arc<T>> {
        let value = self.value.as_ref().ok()?;
        Arc::clone(value).downcast().ok()
    }

    /// Returns the answer when it belongs to `ticket`.
    pub(crate) fn to<T: Send + Sync + 'static>(
        &self,
        ticket: Ticket,
    ) -> Option<Result<Arc<T>, Arc<Trouble>>> {
        if self.ticket != ticket {
            return None;
        }
        match &self.value {
            Ok(value) => Arc::clone(value).downcast().ok().map(Ok),
            Err(why) => Some(Err(Arc::clone(why))),
        }
    }
}

/// Does one job.
pub fn work(job: Job) -> Answer {
    let value = catch_unwind(AssertUnwindSafe(job.work)).unwrap_or(Err(Trouble::Bug));
    Answer {
        ticket: job.ticket,
        value: value.map_err(Arc::new),
    }
}

/// Jobs that wait, oldest first; at most one of a kind.
#[derive(Default)]
struct Waiting {
    jobs: Vec<Job>,
    closed: bool,
}

impl Waiting {
    fn put(&mut self, job: Job) {
        self.jobs
            .retain(|old| (old.lane, old.kind) != (job.lane, job.kind));
        self.jobs.push(job);
    }

    fn next(&mut self, lane: Lane) -> Option<Job> {
        let at = self.jobs.iter().position(|job| job.lane == lane)?;
        Some(self.jobs.remove(at))
    }
}

type Shelf = Arc<(Mutex<Waiting>, Condvar)>;

/// The handle of the worker threads; dropping it lets each end after its present job.
pub(crate) struct Worker {
    shelf: Shelf,
}

impl Worker {
    /// Starts the threads; `answered` passes an answer on, and tells whether anybody still listens.
    ///
    /// # Errors
    /// The system's error when it gives no thread.
    pub(crate) fn start(
        answered: impl Fn(Answer) -> bool + Clone + Send + 'static,
    ) -> std::io::Result<Self> {
        let worker = Self {
            shelf: Arc::default(),
        };
        for lane in Lane::ALL {
            let (theirs, answered) = (Arc::clone(&worker.shelf), answered.clone());
            thread::Builder::new()
                .name(lane.name().to_owned())
                .spawn(move || {
                    while let Some(job) = take(&theirs, lane) {
                        if !answered(work(job)) {
                            break;
                        }
                    }
                })?;
        }
        Ok(worker)
    }

    /// Lets a job wait, in place of one of its kind that still does.
    pub(crate) fn give(&self, job: Job) {
        let (waiting, bell) = &*self.shelf;
        let mut waiting = waiting.lock().unwrap_or_else(PoisonError::into_inner);
        waiting.put(job);
        bell.notify_all();
    }
}

impl Drop for Worker {
    fn drop(&mut self) {
        let (waiting, bell) = &*self.shelf;
        waiting
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .closed = true;
        bell.notify_all();
    }
}

/// Waits for a job; `None` when the program ends.
fn take(shelf: &Shelf, lane: Lane) -> Option<Job> {
    let (waiting, bell) = &**shelf;
    let mut waiting = waiting.lock().unwrap_or_else(PoisonError::into_inner);
    loop {
        if waiting.closed {
            return None;
        }
        if let Some(job) = waiting.next(lane) {
            return Some(job);
        }
        waiting = bell.wait(waiting).unwrap_or_else(PoisonError::into_inner);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_photo_or_a_history_keeps_no_map_waiting_and_the_latest_of_a_kind_counts() {
        let mut waiting = Waiting::default();
        waiting.put(Job::new(1, Lane::Slow, || Ok("history")));
        waiting.put(Job::new(2, Lane::Photo, || Ok(2_u8)));
        waiting.put(Job::new(3, Lane::Quick, || Ok(3_u16)));
        waiting.put(Job::new(4, Lane::Quick, || Ok(4_u32)));
        waiting.put(Job::new(5, Lane::Quick, || Ok(5_u16)));
        let next = |waiting: &mut Waiting, lane| waiting.next(lane).map(|job| job.ticket);
        assert_eq!(next(&mut waiting, Lane::Quick), Some(4));
        assert_eq!(next(&mut waiting, Lane::Quick), Some(5), "3 is stale");
        assert_eq!(next(&mut waiting, Lane::Quick), None);
        assert_eq!(next(&mut waiting, Lane::Slow), Some(1));
        assert_eq!(next(&mut waiting, Lane::Photo), Some(2));
    }

    #[test]
    fn an_answer_is_for_its_ticket_and_a_broken_engine_is_told() {
        let answer = work(Job::new(7, Lane::Quick, || Ok(12_u8)));
        assert!(answer.to::<u8>(6).is_none());
        assert_eq!(*answer.to::<u8>(7).unwrap().unwrap(), 12);
        let broken = work(Job::new(8, Lane::Quick, || -> Result<u8, Trouble> {
            panic!("on purpose")
        }));
        let why = broken.to::<u8>(8).unwrap().unwrap_err();
        assert!(why.to_string().contains("please report it"), "{why}");
    }
}
