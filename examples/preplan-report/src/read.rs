//! A site file in words, with the kit it names, and all that is wrong with them in one go.

use rope_mechanics::operation::site::{FilesBeside, KeyTree, SiteFile, SiteProblem, SiteSource};
use std::path::{Path, PathBuf};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// A line of an error is cut after so many letters.
const LONGEST: usize = 240;

/// The files beside a site file, as they were read.
#[derive(Debug, Default)]
pub(crate) struct Beside {
    /// The folder of the site file.
    folder: PathBuf,
    /// This kit in the place of the one that the site names.
    instead: Option<PathBuf>,
    /// The kit, and its text.
    kit: Option<(PathBuf, String)>,
    /// The text of every file that was read, one behind the other.
    texts: String,
}

impl Beside {
    pub(crate) fn new(site: Option<&Path>, kit_instead: Option<&Path>) -> Self {
        Self {
            folder: site.and_then(Path::parent).unwrap_or(Path::new("")).to_owned(),
            instead: kit_instead.map(Path::to_owned),
            ..Self::default()
        }
    }

    /// The text of every file that was read, one behind the other.
    pub(crate) fn texts(&self) -> impl Iterator<Item = u8> {
        self.texts.bytes()
    }

    /// A problem with its file and line.
    pub(crate) fn told(&self, text: &str, problem: &SiteProblem) -> String {
        let line = |text: &str| line_of(text, &problem.key).map(|line| format!("line {line}: "));
        match (&problem.source, &self.kit) {
            (SiteSource::Kit, Some((path, text))) => {
                format!(
                    "kit {}: {}{}",
                    path.display(),
                    line(text).unwrap_or_default(),
                    problem.problem.trim()
                )
            }
            _ => format!("{}{}", line(text).unwrap_or_default(), problem.to_string().trim()),
        }
    }
}

impl FilesBeside for Beside {
    fn kit(&mut self, name: &str) -> Result<KeyTree, String> {
        let path = self.instead.clone().unwrap_or_else(|| self.folder.join(name));
        let text = std::fs::read_to_string(&path).map_err(|why| format!("{}: {why}", path.display()))?;
        let keys = toml::from_str(&text).map_err(|why| format!("{}: {why}", path.display()))?;
        self.texts += &text;
        self.kit = Some((path, text));
        Ok(keys)
    }

    fn text(&mut self, name: &str) -> Result<String, String> {
        let path = self.folder.join(name);
        let text = std::fs::read_to_string(&path).map_err(|why| format!("{}: {why}", path.display()))?;
        self.texts += &text;
        Ok(text)
    }
}

/// Whether a file is a kit, which stands in a folder beside the sites that share it: it has things by name, and no title.
/// A file that can't be read is not: its fault is told where it is studied.
pub(crate) fn is_kit(path: &Path) -> bool {
    let keys = std::fs::read_to_string(path).ok().and_then(|text| text.parse::<toml::Table>().ok());
    keys.is_some_and(|keys| {
        !keys.contains_key("title")
            && ["ropes", "sheaves", "winches", "site"].iter().any(|key| keys.contains_key(*key))
    })
}

/// Reads a site, or tells every key at fault.
pub(crate) fn site(text: &str, beside: &mut Beside) -> Result<SiteFile, Vec<String>> {
    let mut keys: KeyTree = toml::from_str(text).map_err(|why| vec![why.to_string()])?;
    if beside.instead.is_some()
        && let KeyTree::Table(keys) = &mut keys
        && !keys.iter().any(|(key, _)| key == "kit")
    {
        keys.push(("kit".to_owned(), KeyTree::Text(String::new())));
    }
    SiteFile::read(&keys, beside)
        .map_err(|problems| problems.iter().map(|problem| beside.told(text, problem)).collect())
}

/// The problems of a file, one below the other.
pub(crate) fn told(name: &str, problems: &[String]) -> String {
    let cut = |line: &str| match line.char_indices().nth(LONGEST) {
        Some((at, _)) => format!("{} …", line.get(..at).unwrap_or("")),
        None => line.to_owned(),
    };
    let cut_all = |text: &str| text.lines().map(cut).collect::<Vec<_>>().join("\n");
    match problems {
        [problem] => format!("{name}: {}", cut_all(problem)),
        _ => {
            let mut said = format!("{name}: {} problems", problems.len());
            for problem in problems {
                said += "\n  ";
                said += &cut_all(problem);
            }
            said
        }
    }
}

/// The line on which a key stands, or the table or list that it is missing from.
fn line_of(text: &str, path: &str) -> Option<usize> {
    let table = DeTable::parse(text).ok()?;
    let mut here: &Spanned<DeValue<'_>>;
    let (mut start, mut value) = (None, None::<&DeValue<'_>>);
    for part in path.split('.') {
        let (key, items) = part.split_once('[').unwrap_or((part, ""));
        let keys = match value {
            None => Some(table.get_ref()),
            Some(value) => value.as_table(),
        };
        let Some((at, found)) = keys.and_then(|keys| keys.iter().find(|(name, _)| name.get_ref() == key))
        else {
            break;
        };
        here = found;
        start = Some(at.span().start);
        for item in items.trim_end_matches(']').split("][").filter_map(|item| item.parse::<usize>().ok()) {
            let Some(found) = here.get_ref().as_array().and_then(|list| list.get(item)) else { break };
            here = found;
            start = Some(here.span().start);
        }
        value = Some(here.get_ref());
    }
    let before = text.get(..start?)?;
    Some(before.matches('\n').count() + 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    const EXAMPLE: &str = include_str!("../demo.toml");

    fn problems(text: &str) -> Vec<String> {
        site(text, &mut Beside::default()).unwrap_err()
    }

    #[test]
    fn the_example_is_read() {
        assert!(site(EXAMPLE, &mut Beside::default()).is_ok());
    }

    #[test]
    fn every_key_at_fault_is_told_with_its_line() {
        let text = EXAMPLE
            .replacen("height = \"2.8 m\" ", "heigth = \"2.8 m\" ", 1)
            .replacen("charge = \"85 Ah\"", "charge = \"85 kg\"", 1)
            .replacen("wraps = 4 ", "wraps = \"four\" ", 1)
            .replacen("[\"40 m\", \"-27 m\"]", "[\"40 m\"]", 1)
            .replacen("patient = \"82 kg\"\n", "", 1);
        let problems = problems(&text);
        let at = |what: &str| text.lines().position(|line| line.contains(what)).unwrap() + 1;
        for (key, line) in [
            ("frame.heigth", at("heigth = ")),
            ("frame.height", at("[frame]")),
            ("winch.motor.battery.charge", at("85 kg")),
            ("capstan.wraps", at("\"four\"")),
            ("ground[9]", at("[\"40 m\"]")),
            ("load.patient", at("[load]")),
        ] {
            let said = format!("line {line}: {key}");
            assert!(problems.iter().any(|problem| problem.starts_with(&said)), "{said}: {problems:#?}");
        }
        assert_eq!(problems.len(), 6, "{problems:#?}");
    }

    #[test]
    fn a_variant_is_told_by_its_name_and_its_line() {
        let text = format!(
            "{EXAMPLE}\n[[variant]]\nname = \"a\"\n\n[[variant]]\nname = \"b\"\nload.patient = \"1 N\"\n"
        );
        let line = text.lines().count();
        let problems = problems(&text);
        assert_eq!(problems.len(), 1, "{problems:#?}");
        assert!(
            problems[0].starts_with(&format!("line {line}: variant \"b\": load.patient: \"1 N\"")),
            "{problems:#?}"
        );
    }

    #[test]
    fn each_single_fault_is_told_once() {
        let keys: toml::Table = EXAMPLE.parse().unwrap();
        let (mut asked, mut told) = (0, 0);
        for (name, table) in keys.iter().filter_map(|(name, value)| Some((name, value.as_table()?))) {
            for key in table.keys() {
                asked += 1;
                let mut broken = keys.clone();
                broken[name].as_table_mut().unwrap().insert(key.clone(), toml::Value::Boolean(true));
                let problems = problems(&toml::to_string(&broken).unwrap());
                assert_eq!(problems.len(), 1, "{name}.{key}: {problems:#?}");
                told +=
                    usize::from(problems[0].contains(key.as_str()) || problems[0].contains(name.as_str()));
            }
        }
        assert_eq!(asked, told);
    }

    #[test]
    fn a_line_without_end_is_cut() {
        let long = "x".repeat(5000);
        let said = told("site.toml", &[long]);
        assert!(said.chars().count() < 280 && said.ends_with('…'));
    }
}
