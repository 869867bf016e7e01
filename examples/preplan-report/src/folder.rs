//! Files into a folder: all of one run, or none.

use std::fs::File;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

/// Held while files are being put in place.
static WRITING: Mutex<()> = Mutex::new(());

/// From here on Ctrl-C ends the program between files and never among them: nothing unfinished is left behind.
pub(crate) fn let_ctrl_c_wait_for_files() {
    // Where no handler can be set, Ctrl-C does what it always does.
    let _ = ctrlc::set_handler(|| {
        let _held = WRITING.lock().unwrap_or_else(PoisonError::into_inner);
        std::process::exit(130);
    });
}

/// What a file of this program begins with or holds: a file without it belongs to somebody else.
fn mark(name: &str) -> &'static str {
    match name.rsplit('.').next() {
        Some("html") => crate::page::GENERATOR,
        Some("json") => "\"format\":",
        _ if name.starts_with("schedule") => crate::marks::FIRST_COLUMNS,
        _ => crate::positions::FIRST_COLUMN,
    }
}

fn said(what: &Path, why: &dyn std::fmt::Display) -> String {
    format!("{}: {why}", what.display())
}

/// One file: where it goes, what stands there, and the new one beside it.
struct Ready {
    path: PathBuf,
    older: Option<Vec<u8>>,
    file: tempfile::NamedTempFile,
}

/// Puts all files into the folder. Each is written whole beside its place first; if one can't be put there, the older
/// ones are put back. A second run into the same folder waits for the first.
pub(crate) fn write_all(out: &Path, files: &[(&str, String)]) -> Result<(), String> {
    let _held = WRITING.lock().unwrap_or_else(PoisonError::into_inner);
    if out.is_file() {
        return Err(said(out, &"is a file; --out takes the name of a folder"));
    }
    std::fs::create_dir_all(out).map_err(|why| said(out, &why))?;
    let _alone = Alone::in_folder(out)?;
    let mut ready = Vec::new();
    for (name, content) in files {
        ready.push(prepare(out, name, content)?);
    }
    let mut done: Vec<(PathBuf, Option<Vec<u8>>)> = Vec::new();
    for Ready { path, older, file } in ready {
        match file.persist(&path) {
            Ok(_) => done.push((path, older)),
            Err(why) => {
                let mut said = said(&path, &why.error);
                for (path, older) in done {
                    let back = match older {
                        Some(older) => std::fs::write(&path, older),
                        None => std::fs::remove_file(&path),
                    };
                    if let Err(why) = back {
                        said +=
                            &format!("; {} is of this run, for it can't be put back: {why}", path.display());
                    }
                }
                return Err(said);
            }
        }
    }
    Ok(())
}

fn prepare(out: &Path, name: &str, content: &str) -> Result<Ready, String> {
    let path = out.join(name);
    if path.is_dir() {
        return Err(said(&path, &"is a folder, but a file is to go there"));
    }
    let older = match std::fs::read(&path) {
        Ok(older) => Some(older),
        Err(why) if why.kind() == std::io::ErrorKind::NotFound => None,
        Err(why) => return Err(said(&path, &why)),
    };
    if let Some(older) = &older
        && !String::from_utf8_lossy(older).contains(mark(name))
    {
        return Err(said(
            &path,
            &"stands there and was not written by this program: move it, or name another folder",
        ));
    }
    // Not hidden: should the machine stop here, what is left behind says what it is.
    let unfinished = tempfile::Builder::new().prefix("unfinished-").suffix(name).tempfile_in(out);
    let mut file = unfinished.map_err(|why| said(out, &why))?;
    file.write_all(content.as_bytes()).map_err(|why| said(out, &why))?;
    // Temporary files are private; a report is for everybody.
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let readable = std::fs::Permissions::from_mode(0o644);
        file.as_file().set_permissions(readable).map_err(|why| said(out, &why))?;
    }
    Ok(Ready { path, older, file })
}

/// Keeps other runs out of a folder for as long as it lives.
struct Alone(#[allow(dead_code, reason = "closing it lets the next run in")] File);

impl Alone {
    /// The folder itself is locked: nothing is left in it.
    #[cfg(unix)]
    fn in_folder(out: &Path) -> Result<Self, String> {
        let folder = File::open(out).map_err(|why| said(out, &why))?;
        folder.lock().map_err(|why| said(out, &why))?;
        Ok(Self(folder))
    }

    /// Where a folder can't be locked, a file in it is.
    #[cfg(not(unix))]
    fn in_folder(out: &Path) -> Result<Self, String> {
        let path = out.join("report.lock");
        let file = File::create(&path).map_err(|why| said(&path, &why))?;
        file.lock().map_err(|why| said(&path, &why))?;
        Ok(Self(file))
    }
}
