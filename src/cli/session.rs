//! What every verb works with: the data folder, the output, the time.

use super::{
    environment::Environment,
    output::Output,
    trouble::{Exit, OrTrouble, Trouble},
};
use crate::{
    model::{OvenId, Warning},
    report::json::{JsonResult, Listed},
    workflow::kitchen::{Access, Kitchen, data_folder},
};
use std::path::PathBuf;

/// One run of the program.
pub(super) struct Session<'e> {
    /// Data folder from the command line or the environment.
    data: Option<PathBuf>,
    /// Results as JSON.
    pub(super) json: bool,
    /// What surrounds the program.
    pub(super) environment: &'e Environment,
    /// Where results go.
    pub(super) out: &'e mut Output,
}

impl<'e> Session<'e> {
    pub(super) fn new(
        (data, json): (Option<PathBuf>, bool),
        environment: &'e Environment,
        out: &'e mut Output,
    ) -> Self {
        Self {
            data: data.or_else(|| environment.data.clone()),
            json,
            environment,
            out,
        }
    }

    /// Refuses `--json` where there is no result to print so.
    pub(super) fn no_json(&self) -> Result<(), Trouble> {
        if self.json {
            let why = "what this prints has no JSON form; leave --json out";
            return Err(Trouble::user(why).with("--json", ""));
        }
        Ok(())
    }

    /// Prints the whole answer as JSON.
    pub(super) fn answer(&mut self, result: &impl JsonResult) -> Result<Exit, Trouble> {
        self.out.json(result)?;
        Ok(Exit::Done)
    }

    /// Prints a list: as JSON, as a table, or `none`, what to say where there is nothing to list.
    pub(super) fn list<T>(
        &mut self,
        listed: &Listed<T>,
        none: &str,
        head: &[&str],
        rows: &[Vec<String>],
    ) -> Result<Exit, Trouble>
    where
        Listed<T>: JsonResult,
    {
        if self.json {
            self.out.json(listed)?;
        } else if rows.is_empty() {
            self.out.line(none)?;
        } else {
            self.out.table(head, rows)?;
        }
        Ok(Exit::Done)
    }

    /// Returns the data folder in use.
    pub(super) fn data_folder(&self) -> Result<PathBuf, Trouble> {
        Ok(data_folder(self.data.as_deref())?)
    }

    /// Opens the user's kitchen.
    ///
    /// What opening had to say is printed as remarks, and returned for JSON.
    pub(super) fn kitchen(&mut self, access: Access) -> Result<(Kitchen, Vec<Warning>), Trouble> {
        let folder = self.data_folder()?;
        let (kitchen, warnings) = Kitchen::open_when_free(&folder, access)
            .map_err(|e| Trouble::from(e).with("data folder", folder.display()))?;
        for warning in &warnings {
            self.out.remark(&warning.to_string());
        }
        Ok((kitchen, warnings))
    }

    /// Opens the user's kitchen for another look, after its remarks were printed once.
    pub(super) fn kitchen_again(&self) -> Result<Kitchen, Trouble> {
        let folder = self.data_folder()?;
        let (kitchen, _already_said) = Kitchen::open(&folder, Access::Read)
            .map_err(|e| Trouble::from(e).with("data folder", folder.display()))?;
        Ok(kitchen)
    }

    /// Opens the user's kitchen for the screens, which show the warnings themselves.
    pub(super) fn kitchen_for_screens(&self) -> Result<(Kitchen, Vec<Warning>), Trouble> {
        let folder = self.data_folder()?;
        Kitchen::open_or_look(&folder)
            .map_err(|e| Trouble::from(e).with("data folder", folder.display()))
    }
}

/// Writes warnings as JSON results carry them.
pub(super) fn texts(warnings: &[Warning]) -> Vec<String> {
    warnings.iter().map(ToString::to_string).collect()
}

/// Tells what belongs to the oven named by `--oven`; where none was, everything does.
pub(super) fn of_one(
    kitchen: &Kitchen,
    oven: Option<&str>,
) -> Result<impl Fn(&OvenId) -> bool + use<>, Trouble> {
    let only = match oven {
        Some(typed) => Some(
            kitchen
                .find_oven(typed)
                .or_trouble("--oven", typed)?
                .id
                .clone(),
        ),
        None => None,
    };
    Ok(move |id: &OvenId| only.as_ref().is_none_or(|only| only == id))
}
