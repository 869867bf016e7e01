//! A site file in, a preplan report out: a card for the crew, sheets for the planner, tables for other software.
//!
//! It computes nothing: every number comes from the study of `rope_mechanics::operation`.

mod arguments;
mod card;
mod chart;
mod drawing;
mod folder;
mod identity;
mod marks;
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
use read::Beside;
use rope_mechanics::operation::solve_file;
use rope_mechanics::operation::study::Study;
use rope_mechanics::operation::variants::{Figures, KitChange, VerdictChange};
use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::io::{IsTerminal, Write as _};
use std::path::{Path, PathBuf};
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
                let _ = write!(stderr, "\r{done} of {of} steps");
                self.shown = true;
            } else if done == of {
                let _ = writeln!(stderr, "{done} of {of} steps");
            }
        }
    }
}

/// A site that was studied, and its card.
struct Studied {
    study: Study,
    card: Card,
}

/// Reads and studies one site; without a path, the built-in one. With another kit in the place of its own, if one is given.
fn study(site: Option<&Path>, kit: Option<&Path>) -> Result<(Study, Vec<u8>), Failure> {
    let (name, text) = match site {
        None => ("the built-in site".to_owned(), BUILT_IN.to_owned()),
        Some(path) => {
            let name = path.display().to_string();
            let text =
                std::fs::read_to_string(path).map_err(|why| Failure::File(format!("{name}: {why}")))?;
            (name, text)
        }
    };
    let mut beside = Beside::new(site, kit);
    let file = read::site(&text, &mut beside).map_err(|why| Failure::Site(read::told(&name, &why)))?;
    let mut progress = Progress { started: Instant::now(), shown: false };
    let study = solve_file(&file, |done, of| progress.update(done, of));
    if progress.shown {
        eprintln!();
    }
    let study = study.map_err(|why| Failure::Site(read::told(&name, &[beside.told(&text, &why)])))?;
    // What the sheets are told apart by: all that was read.
    let mut input = text.into_bytes();
    input.extend(beside.texts());
    Ok((study, input))
}

/// The same with its card.
fn studied(site: Option<&Path>, units: Units) -> Result<Studied, Failure> {
    let (study, input) = study(site, None)?;
    let identity = Identity::new(&study.given.document, &study.version, &input);
    let card = Card::new(&study, identity, units);
    Ok(Studied { study, card })
}

/// Writes the files of one site, and says which.
fn write(Studied { study, card }: &Studied, out: &Path) -> Result<String, Failure> {
    let as_json = |json: serde_json::Result<String>| json.map_err(|why| Failure::File(why.to_string()));
    let files = [
        ("card.html", planner::card_page(study, card)),
        ("report.html", planner::report_page(study, card)),
        ("card.json", as_json(serde_json::to_string_pretty(card))? + "\n"),
        ("study.json", as_json(serde_json::to_string_pretty(study))? + "\n"),
        ("positions.csv", positions::csv(study).map_err(|why| Failure::File(why.to_string()))?),
        ("schedule.csv", marks::csv(study).map_err(|why| Failure::File(why.to_string()))?),
    ];
    folder::write_all(out, &files).map_err(Failure::File)?;
    Ok(files.map(|(name, _)| name).join(", "))
}

const CAUTION: &str =
    "An aid for planning and training by qualified people. Never the only limit on a load.\n";

/// One site, told at length.
fn report(site: Option<&Path>, out: &Path, units: Units) -> Result<String, Failure> {
    let studied = studied(site, units)?;
    let written = write(&studied, out)?;
    let study = &studied.study;
    let (word, _) = card::verdict_words(studied.card.verdict);
    let mut said = format!("{}\n  {word}\n", study.title);
    for warning in &study.warnings {
        let _ = writeln!(said, "  ! {}", one_system(&warning.text, units));
    }
    for (question, answer) in planner::in_brief(study, units) {
        let _ = writeln!(said, "  {question}: {answer}");
    }
    let _ = writeln!(said, "wrote {written} to {}", out.display());
    Ok(said + CAUTION)
}

/// The site files: those named, and of a folder all that aren't kits.
fn site_files(named: Vec<PathBuf>) -> Result<Vec<PathBuf>, Failure> {
    let mut files = Vec::new();
    for path in named {
        if !path.is_dir() {
            files.push(path);
            continue;
        }
        let fail = |why: std::io::Error| Failure::File(format!("{}: {why}", path.display()));
        let mut found = Vec::new();
        for entry in std::fs::read_dir(&path).map_err(fail)? {
            let file = entry.map_err(fail)?.path();
            if file.extension().is_some_and(|extension| extension == "toml") && !read::is_kit(&file) {
                found.push(file);
            }
        }
        if found.is_empty() {
            return Err(Failure::File(format!("{}: holds no site file", path.display())));
        }
        found.sort();
        files.extend(found);
    }
    Ok(files)
}

/// A site with another kit, beside what it is with its own.
fn with_other_kit(site: &Path, name: &str, kit: &Path, own: &Result<Studied, Failure>) -> KitChange {
    let why = |failure: &Failure| match failure {
        Failure::Site(why) | Failure::Arguments(why) | Failure::File(why) => why.clone(),
    };
    let before = match own {
        Ok(studied) => Figures::of(name, &studied.study),
        Err(failure) => Figures::not_studied(name, &why(failure)),
    };
    let after = match study(Some(site), Some(kit)) {
        Ok((study, _)) => Figures::of(name, &study),
        Err(failure) => Figures::not_studied(name, &why(&failure)),
    };
    KitChange::new(name, before, after)
}

/// What another kit makes of a site, in a line.
fn change_words(change: &KitChange) -> String {
    let verdict = |figures: &Figures| match figures.found {
        Some(_) => card::verdict_words(figures.verdict).0,
        None => "not studied",
    };
    let (before, after) = (verdict(&change.before), verdict(&change.after));
    let reason = change.after.reasons.first().map_or_else(String::new, |reason| format!(": {reason}"));
    match change.change {
        VerdictChange::None => format!("{} stays {after}", change.site),
        VerdictChange::OtherReasons => format!("{} stays {after}, for other reasons{reason}", change.site),
        VerdictChange::Better => format!("{} gets better: {before} becomes {after}", change.site),
        _ => format!("{} gets worse: {before} becomes {after}{reason}", change.site),
    }
}

/// Several sites, each in a folder of its name, and a page over all of them. One that fails doesn't stop the others.
fn reports(sites: &[PathBuf], with_kit: Option<&Path>, out: &Path, units: Units) -> Result<String, Failure> {
    let mut names = BTreeSet::new();
    for site in sites {
        let name = site.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
        if name.is_empty() || !names.insert(name.clone()) {
            return Err(Failure::Arguments(format!(
                "two sites would be written to {}",
                out.join(name).display()
            )));
        }
    }
    let (mut said, mut entries, mut failures) = (String::new(), Vec::new(), Vec::new());
    let mut changes = Vec::new();
    for site in sites {
        let name = site.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
        let outcome = studied(Some(site), units).and_then(|studied| {
            write(&studied, &out.join(&name))?;
            Ok(studied)
        });
        if let Some(kit) = with_kit {
            changes.push(with_other_kit(site, &name, kit, &outcome));
        }
        match outcome {
            Ok(studied) => {
                let (word, _) = card::verdict_words(studied.card.verdict);
                let _ = writeln!(said, "{word}: {} ({name})", studied.study.title);
                entries.push(planner::entry(&name, &studied.study, &studied.card));
            }
            Err(Failure::Site(why) | Failure::Arguments(why) | Failure::File(why)) => {
                entries.push(planner::failed_entry(&name, &why));
                failures.push(why);
            }
        }
    }
    changes.sort_by_key(|change| std::cmp::Reverse(change.change == VerdictChange::Worse));
    let words: Vec<String> = changes.iter().map(|change| one_system(&change_words(change), units)).collect();
    let mut index = vec![("index.html", planner::index_page(&entries, &words))];
    if let Some(kit) = with_kit {
        let json = serde_json::to_string_pretty(&changes).map_err(|why| Failure::File(why.to_string()))?;
        index.push(("kits.json", json + "\n"));
        let _ = writeln!(said, "With the kit {}:", kit.display());
        for words in &words {
            let _ = writeln!(said, "  {words}");
        }
    }
    folder::write_all(out, &index).map_err(Failure::File)?;
    let names: Vec<_> = index.iter().map(|(name, _)| *name).collect();
    let _ = writeln!(said, "wrote {} and a folder for each to {}", names.join(", "), out.display());
    if failures.is_empty() { Ok(said + CAUTION) } else { Err(Failure::Site(failures.join("\n"))) }
}

fn main() -> ExitCode {
    folder::let_ctrl_c_wait_for_files();
    let outcome = arguments::request().map_err(Failure::Arguments).and_then(|request| match request {
        Request::Print(text) => Ok(text.to_owned()),
        Request::Report { sites, with_kit, out, units } => {
            let folder = sites.iter().any(|site| site.is_dir());
            match site_files(sites)?.as_slice() {
                [] => report(None, &out, units),
                [site] if with_kit.is_none() && !folder => report(Some(site), &out, units),
                sites => reports(sites, with_kit.as_deref(), &out, units),
            }
        }
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
