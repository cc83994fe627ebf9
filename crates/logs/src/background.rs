//! Rows that another thread takes out of a file that must be held as a whole while it is read.
//! Not for: files that are read line by line.

use std::io;
use std::sync::mpsc::sync_channel;

use crate::ask::Question;
use crate::parts::Chosen;
use crate::table::FilePart;

/// Rows of a sheet or a database with what is to be said about it.
pub(crate) struct GivenRows {
    pub rows: Box<dyn Iterator<Item = io::Result<Vec<String>>>>,
    pub remarks: Vec<String>,
    /// Which of several tables or sheets they are of, and what is asked about it.
    pub part: Option<FilePart>,
    pub question: Option<Question>,
}

impl GivenRows {
    /// Rows of a file of one table.
    pub fn of_one(rows: Box<dyn Iterator<Item = io::Result<Vec<String>>>>, remarks: Vec<String>) -> Self {
        Self { rows, remarks, part: None, question: None }
    }

    /// Rows of one of several tables.
    pub fn of_part(rows: Box<dyn Iterator<Item = io::Result<Vec<String>>>>, chosen: Chosen) -> Self {
        Self { rows, remarks: chosen.remarks, part: chosen.part, question: chosen.question }
    }
}

/// Rows that are sent at once.
const BATCH: usize = 512;
/// Batches that wait.
const WAITING: usize = 4;

/// Runs `give`, which calls what it is given for each row and stops where that says false.
pub(crate) fn rows_of(
    give: impl FnOnce(&mut dyn FnMut(Vec<String>) -> bool) -> Result<(), String> + Send + 'static,
) -> Box<dyn Iterator<Item = io::Result<Vec<String>>>> {
    let (send, receive) = sync_channel::<io::Result<Vec<Vec<String>>>>(WAITING);
    std::thread::spawn(move || {
        let mut batch = Vec::with_capacity(BATCH);
        let mut is_open = true;
        let give = std::panic::AssertUnwindSafe(|| {
            give(&mut |row| {
                batch.push(row);
                if batch.len() == BATCH {
                    is_open = send.send(Ok(std::mem::take(&mut batch))).is_ok();
                }
                is_open
            })
        });
        // A library that gives up on a broken file must not look like the file's end.
        let result = std::panic::catch_unwind(give).unwrap_or_else(|_| {
            Err("the file is broken where nobody looked for it; save the table as CSV".to_owned())
        });
        // Nobody may be listening any more; then nobody misses it.
        let _ = send.send(Ok(batch));
        if let Err(why) = result {
            let _ = send.send(Err(io::Error::other(why)));
        }
    });
    Box::new(receive.into_iter().flat_map(|batch| match batch {
        Ok(rows) => rows.into_iter().map(Ok).collect::<Vec<io::Result<Vec<String>>>>(),
        Err(error) => vec![Err(error)],
    }))
}
