//! A site file in, a preplan report out: a card for the crew, sheets for the planner, tables for other software.
//!
//! It computes nothing: every number comes from the study of `rope_mechanics::operation`.

mod arguments;
mod card;
mod chart;
mod drawing;
mod folder;
mod identity;
mod one_system;
mod page;
mod planner;
mod positions;
mod read;
mod units;

use arguments::{BUILT_IN, Request};
use card::Card;
use identity::Identity;
use one_system::one_system;
use rope_mechanics::operation::{self, verdict::verdict};
use std::fmt::Write as _;
use std::io::{IsTerminal, Write as _};
use std::path::Path;
use std::process::ExitCode;
use std::time::{Duration, Instant};
use units::Units;

/// What went wrong, by exit code.
#[derive(Debug)]
enum Failure {
    /// 1: the site file, or what it describes.
    Site(String),
    /// 2: the command line.
    Arguments(String),
    /// 3: a file can't be read or written.
    File(String),
}

/// A line on the terminal that says how far a long run is, from its second second on.
struct Progress {
    started: Instant,
    shown: bool,
}

impl Progress {
    fn update(&mut self, done: usize, of: usize) {
        if self.started.elapsed() > Duration::from_secs(1) && (done.is_multiple_of(50) || done == of) {
            let mut stderr = std::io::stderr();
            if stderr.is_terminal() {
                // Nothing is lost if the terminal can't be written to.
                let _ = write!(stderr, "\r{done} of {of} positions");
                self.shown = true;
            } else if done == of {
                let _ = writeln!(stderr, "{done} of {of} positions");
            }
        }
    }
}

fn report(site: Option<&Path>, out: &Path, units: Units) -> Result<String, Failure> {
    let (name, text) = match site {
        None => ("the built-in site".to_owned(), BUILT_IN.to_owned()),
        Some(path) => {
            let name = path.display().to_string();
            let text =
                std::fs::read_to_string(path).map_err(|why| Failure::File(format!("{name}: {why}")))?;
            (name, text)
        }
    };
    let site = read::site(&text, BUILT_IN).map_err(|why| Failure::Site(read::told(&name, &why)))?;
    let mut progress = Progress { started: Instant::now(), shown: false };
    let study = operation::solve_with_progress(&site, |done, of| progress.update(done, of));
    if progress.shown {
        eprintln!();
    }
    let study = study.map_err(|why| Failure::Site(read::told(&name, &[why.to_string()])))?;

    let identity = Identity::new(&study.given.document, &study.version, text.as_bytes());
    let card = Card::new(&study, identity, units);
    let as_json = |json: serde_json::Result<String>| json.map_err(|why| Failure::File(why.to_string()));
    let study_json = as_json(serde_json::to_string_pretty(&study))? + "\n";
    let card_json = as_json(serde_json::to_string_pretty(&card))? + "\n";
    let table = positions::csv(&study).map_err(|why| Failure::File(why.to_string()))?;
    let files = [
        ("card.html", planner::card_page(&study, &card)),
        ("report.html", planner::report_page(&study, &card)),
        ("card.json", card_json),
        ("study.json", study_json),
        ("positions.csv", table),
    ];
    folder::write_all(out, &files).map_err(Failure::File)?;

    let (word, _) = card::verdict_words(verdict(&study.warnings));
    let mut said = format!("{}\n  {word}\n", study.title);
    for warning in &study.warnings {
        let _ = writeln!(said, "  ! {}", one_system(&warning.text, units));
    }
    for (question, answer) in planner::in_brief(&study, units) {
        let _ = writeln!(said, "  {question}: {answer}");
    }
    let names: Vec<_> = files.iter().map(|(name, _)| *name).collect();
    let _ = writeln!(said, "wrote {} to {}", names.join(", "), out.display());
    said += "An aid for planning and training by qualified people. Never the only limit on a load.\n";
    Ok(said)
}

fn main() -> ExitCode {
    folder::let_ctrl_c_wait_for_files();
    let outcome = arguments::request().map_err(Failure::Arguments).and_then(|request| match request {
        Request::Print(text) => Ok(text.to_owned()),
        Request::Report { site, out, units } => report(site.as_deref(), &out, units),
    });
    match outcome {
        Ok(said) => {
            // A title may hold anything, but a terminal gets text only.
            let said = said.replace(|c: char| c.is_control() && c != '\n', " ");
            match std::io::stdout().write_all(said.as_bytes()) {
                // A closed pipe is the reader's choice.
                Err(why) if why.kind() != std::io::ErrorKind::BrokenPipe => {
                    eprintln!("preplan-report: standard output: {why}");
                    ExitCode::from(3)
                }
                _ => ExitCode::SUCCESS,
            }
        }
        Err(failure) => {
            let (code, why) = match failure {
                Failure::Site(why) => (1, why),
                Failure::Arguments(why) => (2, why),
                Failure::File(why) => (3, why),
            };
            // Nothing is lost if nobody reads it: the exit code says the same.
            let _ = writeln!(std::io::stderr(), "preplan-report: {why}");
            ExitCode::from(code)
        }
    }
}
