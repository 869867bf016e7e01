//! The whole operation: a site as JSON in, its study as JSON out.
//!
//! ```text
//! The site's ropes, frame, anchors, winch and battery, solved at places along the travel by all topics above; what may fail,
//! and by how much each limit is passed. Assumed: one vertical plane outward of the head. Bands say what isn't exactly known.
//! CAUTION. An aid for planning: a certified safety function it is not.
//! ```
//!
//! ```c
//! // site, bytes: a site file as JSON
//! rmech_operation_options options = RMECH_INIT(rmech_operation_options);
//! options.most_positions = 1000;
//! rmech_operation *operation = NULL;
//! const char *study = NULL;
//! size_t study_bytes = 0;
//! int32_t status = rmech_operation_create(site, bytes, &options, &operation, &error);
//! if (status == RMECH_OK) status = rmech_operation_json(operation, &study, &study_bytes, &error);
//! if (status == RMECH_OK) printf("%s\n", strncmp(study, "{\"format\"", 9) == 0 ? "a study" : "?"); // a study
//! rmech_operation_destroy(operation);
//! ```

use crate::call::{call, growing, inputs, no_flags, output, versions, writable};
use crate::error::{
    Failure, RMECH_ERR_BUDGET, RMECH_ERR_CANCELLED, RMECH_ERR_CAPACITY, RMECH_ERR_GEOMETRY,
    RMECH_ERR_INTERNAL, RMECH_ERR_POINTER, RMECH_ERR_TEXT, rmech_error,
};
use crate::rig::handle;
use crate::rig::text::read;
use core::ffi::c_char;
use core::ops::ControlFlow;
use core::sync::atomic::{AtomicU32, Ordering};
use rope_mechanics::operation::{
    self, Asked,
    schedule::Schedule,
    site::{KeyTree, NoFiles, SiteFile, SiteProblem, SiteSource},
    study::{LimitsUsed, Study, StudyHead},
    verdict::Verdict,
};

/// How far a study has come, and whether to stop it: while `rmech_operation_create` runs, another thread may read `done` and
/// `of` and set `cancel`, each by one atomic access of 32 bits. Start it from zeros.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_operation_progress {
    /// Written: how many positions are done.
    pub done: u32,
    /// Written: of how many; zero until the first is done.
    pub of: u32,
    /// Read before the first position and after each: anything but zero ends the study with `RMECH_ERR_CANCELLED`.
    pub cancel: u32,
}

/// How long a study may take.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_operation_options {
    /// sizeof(rmech_operation_options); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// Zero.
    pub flags: u32,
    /// A site with more positions is refused with `RMECH_ERR_BUDGET` once the first is done; zero for any number. A position
    /// takes about as long as another one. Where the site has `doubt`, each of its samples counts as one, and too many are
    /// refused once the first of them is drawn.
    pub most_positions: u64,
    /// How far it has come, and whether to stop; NULL for neither.
    pub progress: *mut rmech_operation_progress,
}

versions!(rmech_operation_options: 16 + crate::call::WORD.next_multiple_of(8));

/// A site that was studied. What a controller reads of it stands in the next topic.
#[derive(Debug)]
pub struct rmech_operation {
    /// With its NUL.
    json: Vec<u8>,
    pub(crate) schedule: Schedule,
    pub(crate) verdict: Verdict,
    pub(crate) limits: LimitsUsed,
}

/// Why there is no study.
enum Stop {
    Cancelled,
    TooMany(usize),
}

/// The site that stands there.
///
/// # Safety
/// `bytes` bytes stand there.
unsafe fn site_of(site: *const c_char, bytes: usize) -> Result<SiteFile, Failure> {
    if site.is_null() {
        return Err(Failure::of(RMECH_ERR_POINTER, "site", "site is NULL"));
    }
    // SAFETY: as the caller says.
    let text = unsafe { inputs("site", site.cast::<u8>(), bytes)? };
    let keys: KeyTree = read("site", text, |path, why| {
        Failure::of(RMECH_ERR_TEXT, if path == "." { "site" } else { path }, why)
    })?;
    SiteFile::read(&keys, &mut NoFiles).map_err(|problems| match problems.first() {
        Some(first) => Failure::of(RMECH_ERR_TEXT, &first.key, first),
        None => Failure::of(RMECH_ERR_TEXT, "site", "can't be read"),
    })
}

/// The problem without its key, which stands in `field`; with its file where that isn't the site.
fn said(why: &SiteProblem) -> String {
    match (&why.source, why.problem.strip_prefix(&why.key).and_then(|rest| rest.strip_prefix(": "))) {
        (SiteSource::Site, Some(rest)) => rest.to_owned(),
        _ => why.to_string(),
    }
}

fn as_json(study: &Study) -> Result<String, Failure> {
    serde_json::to_string(study).map_err(|why| Failure::of(RMECH_ERR_TEXT, "study", why))
}

fn studied(site: &SiteFile, go_on: impl FnMut(usize, usize) -> ControlFlow<Stop>) -> Result<Study, Failure> {
    let found = operation::solve_file_asked(site, &Asked::EVERYTHING, go_on)
        .map_err(|why| Failure::of(RMECH_ERR_GEOMETRY, &why.key, said(&why)))?;
    match found {
        ControlFlow::Continue(found) => Ok(found),
        ControlFlow::Break(Stop::Cancelled) => {
            Err(Failure::of(RMECH_ERR_CANCELLED, "cancel", "the study was stopped as the caller asked"))
        }
        ControlFlow::Break(Stop::TooMany(of)) => Err(Failure::of(
            RMECH_ERR_BUDGET,
            "most_positions",
            format_args!(
                "{of} positions and samples are more than most_positions: see travel.positions and doubt.samples"
            ),
        )),
    }
}

/// Studies a site: JSON in UTF-8 of `site_bytes` bytes, with the keys of a site file (schemas/site.schema.json). Read the study with
/// `rmech_operation_json`, and destroy it with `rmech_operation_destroy`. `options` may be NULL.
///
/// The time grows with the number of positions, travel.positions (10 to 20000, 200 unless given) and one over each corner of
/// the ground. Other limits: 10000 points of ground, 8 guys, 6 redirects of the haul rope.
///
/// A key that is unknown or unreadable gives `RMECH_ERR_TEXT`; one that makes the rig impossible,
/// `RMECH_ERR_GEOMETRY`: `error->field` names it, as in `track.rope.mass` or `ground[3]`. A missing key gives
/// `RMECH_ERR_TEXT`, too, and the message says what the key holds. No file is opened: `kit` holds the kit itself, and
/// a fault in it is named by its path there, as in `ropes.red.mass`. Each `variant` is studied, too, and adds its positions.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_operation_create(
    site: *const c_char,
    site_bytes: usize,
    options: *const rmech_operation_options,
    operation: *mut *mut rmech_operation,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        writable("operation", operation)?;
        let (mut most, mut progress) = (0, core::ptr::null_mut());
        if !options.is_null() {
            // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
            let options = unsafe { growing("options", options)? };
            no_flags(options.flags)?;
            (most, progress) = (options.most_positions, options.progress);
            if !progress.is_null() {
                writable("options.progress", progress)?;
            }
        }
        let told = |member: fn(*mut rmech_operation_progress) -> *mut u32| {
            // SAFETY: not NULL and aligned; the caller says that the struct stands there during the call, and that other
            // threads use it by atomic accesses only.
            (!progress.is_null()).then(|| unsafe { AtomicU32::from_ptr(member(progress)) })
        };
        // SAFETY: of a pointer that is not NULL, to a whole struct.
        let done_at = told(|at| unsafe { &raw mut (*at).done });
        // SAFETY: as above.
        let of_at = told(|at| unsafe { &raw mut (*at).of });
        // SAFETY: as above.
        let cancel = told(|at| unsafe { &raw mut (*at).cancel });
        let stopped = || cancel.is_some_and(|cancel| cancel.load(Ordering::Relaxed) != 0);
        // SAFETY: as above.
        let site = unsafe { site_of(site, site_bytes)? };
        if stopped() {
            return Err(Failure::of(RMECH_ERR_CANCELLED, "cancel", "the study was stopped before it began"));
        }
        let study = studied(&site, |done, of| {
            for (at, number) in [(of_at, of), (done_at, done)] {
                if let Some(at) = at {
                    at.store(number as u32, Ordering::Relaxed);
                }
            }
            if most > 0 && of as u64 > most {
                ControlFlow::Break(Stop::TooMany(of))
            } else if stopped() {
                ControlFlow::Break(Stop::Cancelled)
            } else {
                ControlFlow::Continue(())
            }
        })?;
        let mut json = as_json(&study)?.into_bytes();
        json.push(0);
        let (verdict, limits) = (study.verdict.verdict, study.limits);
        // Everything was asked for.
        let none =
            || Failure::of(RMECH_ERR_INTERNAL, "operation", "the study has no schedule; please report it");
        let schedule = study.schedule.ok_or_else(none)?;
        let made = rmech_operation { json, schedule, verdict, limits };
        // SAFETY: as above.
        unsafe { output("operation", operation, Box::into_raw(Box::new(made))) }
    })
}

/// The study as JSON in UTF-8, as `study.json` holds it: `bytes` of them, and a NUL behind. The text belongs to the handle,
/// and is gone with it. The same site gives the same bytes.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_operation_json(
    operation: *const rmech_operation,
    json: *mut *const c_char,
    bytes: *mut usize,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let of = unsafe { handle("operation", operation)? };
        writable("json", json)?;
        writable("bytes", bytes)?;
        // SAFETY: as above; both were found writable.
        unsafe {
            output("json", json, of.json.as_ptr().cast())?;
            output("bytes", bytes, of.json.len() - 1)
        }
    })
}

/// The format of a study that was kept as a file or came from elsewhere: JSON in UTF-8 of `bytes` bytes. Ask for it before
/// reading more. One that this version doesn't know gives `RMECH_ERR_TEXT` with `format` in `error->field`, and the message holds
/// the one found and the one read. Of the study nothing is looked at but `format`, `title` and `version`, each of which must stand
/// there.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_operation_format(
    study: *const c_char,
    bytes: usize,
    format: *mut u32,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        writable("format", format)?;
        if study.is_null() {
            return Err(Failure::of(RMECH_ERR_POINTER, "study", "study is NULL"));
        }
        // SAFETY: the caller keeps the contract of the ABI: `bytes` bytes stand there.
        let text = unsafe { inputs("study", study.cast::<u8>(), bytes)? };
        let head: StudyHead = read("study", text, |path, why| {
            let missing = why.to_string();
            let key = missing.strip_prefix("missing field `").and_then(|rest| rest.split('`').next());
            Failure::of(RMECH_ERR_TEXT, key.unwrap_or(if path == "." { "study" } else { path }), why)
        })?;
        // SAFETY: as above.
        unsafe { output("format", format, head.format) }
    })
}

/// Destroys a study; NULL is fine.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_operation_destroy(operation: *mut rmech_operation) {
    if !operation.is_null() {
        // SAFETY: made by rmech_operation_create and not destroyed before.
        drop(unsafe { Box::from_raw(operation) });
    }
}

/// The study of a site in one call, into a buffer of the caller. `rmech_operation_create` does the same, computes only
/// once, and can be stopped. Both texts are JSON in UTF-8, the study NUL-terminated.
///
/// `needed` always takes the number of bytes that the study needs, its NUL included. With `capacity` 0 (`study`
/// may then be NULL) that is all: the size query, which returns `RMECH_OK`. A buffer that is too small gives
/// `RMECH_ERR_CAPACITY`, with `needed` written and `study` untouched. Errors as of `rmech_operation_create`.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_operation_study(
    site: *const c_char,
    site_bytes: usize,
    study: *mut c_char,
    capacity: usize,
    needed: *mut usize,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        writable("needed", needed)?;
        if capacity > 0 {
            writable("study", study)?;
        }
        // SAFETY: the caller keeps the contract of the ABI: `site_bytes` bytes stand there.
        let site = unsafe { site_of(site, site_bytes)? };
        let found = as_json(&studied(&site, |_, _| ControlFlow::Continue(()))?)?;
        let size = found.len() + 1;
        // SAFETY: `needed` is writable, and `study` takes `capacity` bytes by the contract of the ABI.
        unsafe { output("needed", needed, size)? };
        if capacity == 0 {
            return Ok(());
        }
        if capacity < size {
            return Err(Failure::of(
                RMECH_ERR_CAPACITY,
                "capacity",
                format_args!("capacity is {capacity} bytes, but must be at least {size}"),
            ));
        }
        // SAFETY: as above; `size` is at most `capacity`.
        unsafe {
            core::ptr::copy_nonoverlapping(found.as_ptr(), study.cast::<u8>(), found.len());
            study.add(found.len()).write(0);
        }
        Ok(())
    })
}
