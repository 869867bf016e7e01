//! A site file in, a preplan report out.
//!
//! `preplan-report` works on a built-in, invented site; `preplan-report SITE.toml --out DIR` on yours. It writes
//! `report.html`, `study.json` and `positions.csv`, all three or none.

mod chart;
mod page;
mod positions;
mod side_view;

use rope_mechanics::operation::{
    self,
    site::{self, Site},
};
use std::fmt::Write as _;
use std::io::{IsTerminal, Write as _};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::time::{Duration, Instant};

const BUILT_IN: &str = include_str!("../demo.toml");

const VERSION: &str = concat!("preplan-report ", env!("CARGO_PKG_VERSION"), "\n");

const HELP: &str = "\
A site file in, a preplan report out.

    preplan-report [SITE.toml] [--out DIR]

    SITE.toml    the site; without it, a built-in, invented one
    --out DIR    where report.html, study.json and positions.csv go; without it, ./preplan
    --example    print the built-in site file, every key annotated, and stop
    --version    print the version and stop

An aid for planning and training by qualified people. Never the only limit on a load.
";

enum Request {
    Report { site: Option<PathBuf>, out: PathBuf },
    Print(&'static str),
}

fn request() -> Result<Request, String> {
    let mut arguments = lexopt::Parser::from_env();
    let mut site = None;
    let mut out: Option<PathBuf> = None;
    while let Some(argument) = arguments.next().map_err(|why| why.to_string())? {
        match argument {
            lexopt::Arg::Short('h') | lexopt::Arg::Long("help") => return Ok(Request::Print(HELP)),
            lexopt::Arg::Short('V') | lexopt::Arg::Long("version") => return Ok(Request::Print(VERSION)),
            lexopt::Arg::Long("example") => return Ok(Request::Print(BUILT_IN)),
            lexopt::Arg::Long("out") => {
                let folder = PathBuf::from(arguments.value().map_err(|why| why.to_string())?);
                if folder.as_os_str().is_empty() {
                    return Err("--out: names no folder".to_owned());
                }
                if out.replace(folder).is_some() {
                    return Err("--out: is given twice".to_owned());
                }
            }
            lexopt::Arg::Value(path) if site.is_none() => site = Some(path.into()),
            other => return Err(format!("{}; see --help", other.unexpected())),
        }
    }
    Ok(Request::Report { site, out: out.unwrap_or_else(|| "preplan".into()) })
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

/// Writes all files beside each other: each one whole, under another name first.
fn write_all(out: &Path, files: &[(&str, &str)]) -> Result<(), String> {
    let fail = |what: &Path, why: &dyn std::fmt::Display| format!("{}: {why}", what.display());
    if out.is_file() {
        return Err(fail(out, &"is a file; --out takes the name of a folder"));
    }
    std::fs::create_dir_all(out).map_err(|why| fail(out, &why))?;
    let mut ready = Vec::new();
    for (name, content) in files {
        let mut file = tempfile::NamedTempFile::new_in(out).map_err(|why| fail(out, &why))?;
        file.write_all(content.as_bytes()).map_err(|why| fail(out, &why))?;
        // Temporary files are private; a report is for everybody.
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            file.as_file()
                .set_permissions(std::fs::Permissions::from_mode(0o644))
                .map_err(|why| fail(out, &why))?;
        }
        ready.push((out.join(name), file));
    }
    // What stood there is kept until all three are in place.
    let mut replaced: Vec<(PathBuf, Option<PathBuf>)> = Vec::new();
    let outcome = ready.into_iter().try_for_each(|(path, file)| {
        let old = if path.exists() { Some(path.with_extension("replaced")) } else { None };
        if let Some(old) = &old {
            if path.is_dir() {
                return Err(format!("{}: is a folder, but a file is to go there", path.display()));
            }
            std::fs::rename(&path, old).map_err(|why| fail(&path, &why))?;
        }
        replaced.push((path.clone(), old));
        file.persist(&path).map_err(|why| fail(&path, &why.error)).map(|_| ())
    });
    for (path, old) in replaced.into_iter().rev() {
        // Either way the folder holds three files of one run; a leftover says where it comes from.
        let _ = match (&outcome, old) {
            (Ok(()), Some(old)) => std::fs::remove_file(old),
            (Err(_), Some(old)) => std::fs::rename(old, &path),
            (Err(_), None) => std::fs::remove_file(&path),
            (Ok(()), None) => Ok(()),
        };
    }
    outcome
}

/// A site file, with the whole path of a key at fault in what is said of it.
fn read(text: &str) -> Result<Site, String> {
    let keys = toml::Deserializer::parse(text).map_err(|why| why.to_string())?;
    serde_path_to_error::deserialize(keys)
        .map_err(|why| site::unreadable(&why.path().to_string(), why.inner()).problem)
}

fn report(site: Option<&Path>, out: &Path) -> Result<String, String> {
    let (name, text) = match site {
        None => ("the built-in site".to_owned(), BUILT_IN.to_owned()),
        Some(path) => {
            let name = path.display().to_string();
            let text = std::fs::read_to_string(path).map_err(|why| format!("{name}: {why}"))?;
            (name, text)
        }
    };
    let site = read(&text).map_err(|why| format!("{name}: {why}"))?;
    let mut progress = Progress { started: Instant::now(), shown: false };
    let study = operation::solve_with_progress(&site, |done, of| progress.update(done, of));
    if progress.shown {
        eprintln!();
    }
    let study = study.map_err(|why| format!("{name}: {why}"))?;

    let page = page::page(&study).into_string();
    let json = serde_json::to_string_pretty(&study).map_err(|why| why.to_string())? + "\n";
    let csv = positions::csv(&study);
    write_all(out, &[("report.html", &page), ("study.json", &json), ("positions.csv", &csv)])?;

    let mut said = format!("{}\n", study.title);
    for (question, answer) in page::answers(&study) {
        let _ = writeln!(said, "  {question}: {answer}");
    }
    for warning in &study.warnings {
        let _ = writeln!(said, "  ! {}", warning.text);
    }
    let _ = writeln!(said, "wrote report.html, study.json and positions.csv to {}", out.display());
    said += "An aid for planning and training by qualified people. Never the only limit on a load.\n";
    Ok(said)
}

fn main() -> ExitCode {
    let outcome = request().and_then(|request| match request {
        Request::Print(text) => Ok(text.to_owned()),
        Request::Report { site, out } => report(site.as_deref(), &out),
    });
    match outcome {
        Ok(said) => {
            // A title may hold anything, but a terminal gets text only.
            let said = said.replace(|c: char| c.is_control() && c != '\n', " ");
            match std::io::stdout().write_all(said.as_bytes()) {
                // A closed pipe is the reader's choice.
                Err(why) if why.kind() != std::io::ErrorKind::BrokenPipe => {
                    eprintln!("preplan-report: standard output: {why}");
                    ExitCode::FAILURE
                }
                _ => ExitCode::SUCCESS,
            }
        }
        Err(why) => {
            eprintln!("preplan-report: {why}");
            ExitCode::FAILURE
        }
    }
}
