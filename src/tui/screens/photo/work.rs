//! What the worker does with photos.

use crate::{
    report::png::tray_png,
    sampling::{Request, Scores},
    tui::trouble::Trouble,
    workflow::{
        photo::{OpenPhoto, open_photo, read_photo},
        picture::write_picture,
    },
};
use std::{path::PathBuf, sync::Arc};

/// Work on a photo.
#[derive(Debug, Clone)]
pub(super) enum PhotoTask {
    /// Open a file.
    Open(PathBuf),
    /// Read the scores.
    Read(Box<ReadTask>),
    /// Draw the tray as if seen from above, with its scores.
    Draw(Box<DrawTask>),
}

/// What reading a photo needs.
#[derive(Debug, Clone)]
pub(super) struct ReadTask {
    /// The photo.
    pub(super) shot: Arc<OpenPhoto>,
    /// A second one of the tray turned end for end.
    pub(super) turned: Option<Arc<OpenPhoto>>,
    /// What is asked of it.
    pub(super) request: Request,
}

/// What a picture of the scored tray needs.
#[derive(Debug, Clone)]
pub(super) struct DrawTask {
    /// The photo.
    pub(super) shot: Arc<OpenPhoto>,
    /// What was read from it.
    pub(super) scores: Arc<Scores>,
    /// Rows and columns of slices.
    pub(super) counts: (usize, usize),
    /// Where the picture goes.
    pub(super) path: PathBuf,
}

/// What became of a photo.
#[derive(Debug, Clone)]
pub(super) enum PhotoAnswer {
    /// It is open.
    Opened(Arc<OpenPhoto>),
    /// It was read, with what was asked: what stands on the screen by then may be another question.
    Read(Box<Request>, Arc<Scores>),
    /// The tray was drawn, into this file.
    Drawn(PathBuf),
}

/// Does the work.
pub(super) fn done(task: PhotoTask) -> Result<PhotoAnswer, Trouble> {
    match task {
        PhotoTask::Open(path) => Ok(PhotoAnswer::Opened(Arc::new(open_photo(&path)?))),
        PhotoTask::Read(read) => {
            let turned = read.turned.as_deref().map(|turned| (turned, None));
            let scores = read_photo(&read.shot, &read.request, turned)?;
            Ok(PhotoAnswer::Read(Box::new(read.request), Arc::new(scores)))
        }
        PhotoTask::Draw(draw) => {
            let drawn = tray_png(&draw.shot.photo.picture, &draw.scores, draw.counts)?;
            write_picture(&draw.path, &drawn)?;
            Ok(PhotoAnswer::Drawn(draw.path))
        }
    }
}
