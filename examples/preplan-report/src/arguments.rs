//! The command line.

use crate::units::Units;
use std::path::PathBuf;

pub(crate) const BUILT_IN: &str = include_str!("../demo.toml");

const VERSION: &str = concat!("preplan-report ", env!("CARGO_PKG_VERSION"), "\n");

const HELP: &str = "\
A site file in, a preplan report out.

Try it on the built-in, invented site, then open preplan/card.html and preplan/report.html:
    preplan-report

Begin a site of your own: the same site as a file, every key annotated, to be edited:
    preplan-report --example > site.toml

Report on it, in the units that your load cell shows:
    preplan-report site.toml --out reports/site --units us

Several sites at once, or a folder of them, each in a folder of its name, with reports/index.html over all of them:
    preplan-report sites --out reports

A site names its kit (kit = \"kit.toml\", beside the site file). Which sites another kit changes or breaks:
    preplan-report sites --with-kit next-year.toml --out reports

What it writes for a site, all of it or nothing:
    card.html      the card that the crew works from, for a phone
    report.html    the card, the sheets for the planner, check list and log sheet, for screen and paper
    card.json      the card for other software
    study.json     everything that was found, in SI
    positions.csv  the load on its way as a table, in SI
    schedule.csv   what to see at each mark on the haul rope, in SI
and with --with-kit, beside the index:
    kits.json      each site with its own kit and with the other one, and how its verdict changes

Options:
    --out DIR      where they go; without it, ./preplan
    --units si|us  kN and m, or lbf and ft, on card and report; without it, si
    --with-kit FILE  study each site with this kit, too; its reports stay those of its own kit
    --example      print the annotated site file and stop
    --help         print this and stop
    --version      print the version and stop

Exit codes: 0 written, whatever the verdict; 1 the site file is wrong or can't be solved; 2 the command line is
wrong; 3 a file can't be read or written; 130 interrupted, nothing written.

An aid for planning and training by qualified people. Never the only limit on a load.
";

pub(crate) enum Request {
    /// No site is the built-in one; several get a folder each, and an index.
    Report {
        sites: Vec<PathBuf>,
        with_kit: Option<PathBuf>,
        out: PathBuf,
        units: Units,
    },
    Print(&'static str),
}

pub(crate) fn request() -> Result<Request, String> {
    let mut arguments = lexopt::Parser::from_env();
    let (mut sites, mut out, mut units) = (Vec::<PathBuf>::new(), None::<PathBuf>, None);
    let mut with_kit = None::<PathBuf>;
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
            lexopt::Arg::Long("with-kit") => {
                let file = PathBuf::from(arguments.value().map_err(|why| why.to_string())?);
                if with_kit.replace(file).is_some() {
                    return Err("--with-kit: is given twice".to_owned());
                }
            }
            lexopt::Arg::Long("units") => {
                let value = arguments.value().map_err(|why| why.to_string())?;
                let system = match value.to_str() {
                    Some("si") => Units::Si,
                    Some("us") => Units::Us,
                    _ => return Err(format!("--units: is {}, but must be si or us", value.display())),
                };
                if units.replace(system).is_some() {
                    return Err("--units: is given twice".to_owned());
                }
            }
            lexopt::Arg::Value(path) => sites.push(path.into()),
            other => return Err(format!("{}; see --help", other.unexpected())),
        }
    }
    if with_kit.is_some() && sites.is_empty() {
        return Err("--with-kit: name the sites to study with it".to_owned());
    }
    Ok(Request::Report {
        sites,
        with_kit,
        out: out.unwrap_or_else(|| "preplan".into()),
        units: units.unwrap_or(Units::Si),
    })
}
