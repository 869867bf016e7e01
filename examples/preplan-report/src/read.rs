//! A site file in words, and all that is wrong with it in one go.

use rope_mechanics::operation::site::{self, Site};
use toml::{Table, Value};

/// The most problems that are looked for.
const MOST: usize = 20;
/// A line of an error is cut after so many letters.
const LONGEST: usize = 240;

/// Reads a site, or tells every key at fault.
///
/// After each problem the key is given the example's value, or taken out, so that the next one shows.
pub(crate) fn site(text: &str, example: &str) -> Result<Site, Vec<String>> {
    let mut keys: Value = match text.parse::<Table>() {
        Ok(keys) => Value::Table(keys),
        Err(why) => return Err(vec![why.to_string()]),
    };
    let example = example.parse::<Table>().map(Value::Table).unwrap_or(Value::Boolean(false));
    let mut problems = Vec::new();
    while problems.len() < MOST {
        match serde_path_to_error::deserialize(keys.clone()) {
            Ok(site) if problems.is_empty() => return Ok(site),
            Ok(_) => break,
            Err(why) => {
                let found = site::unreadable(&why.path().to_string(), why.inner());
                let problem = match line_of(text, &found.key) {
                    Some(line) => format!("line {line}: {}", found.problem.trim()),
                    None => found.problem.trim().to_owned(),
                };
                let known = problems.contains(&problem);
                if !known {
                    problems.push(problem);
                }
                if known || !mend(&mut keys, &found.key, &example) {
                    break;
                }
            }
        }
    }
    Err(problems)
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

/// A step into a file.
#[derive(Debug, Clone, PartialEq)]
enum Step {
    Key(String),
    Item(usize),
}

fn steps(path: &str) -> Vec<Step> {
    let mut steps = Vec::new();
    for part in path.split('.') {
        let (key, items) = part.split_once('[').map_or((part, ""), |(key, items)| (key, items));
        if !key.is_empty() {
            steps.push(Step::Key(key.to_owned()));
        }
        let items = items.trim_end_matches(']').split("][").filter_map(|item| item.parse().ok());
        steps.extend(items.map(Step::Item));
    }
    steps
}

/// What stands at a path; of a list in the example, its first item stands for all.
fn at<'a>(value: &'a Value, path: &[Step], any_item: bool) -> Option<&'a Value> {
    path.iter().try_fold(value, |value, step| match step {
        Step::Key(key) => value.as_table()?.get(key),
        Step::Item(i) => {
            let list = value.as_array()?;
            list.get(*i).or_else(|| if any_item { list.first() } else { None })
        }
    })
}

/// Gives the key at fault a value that is known to be read, or takes it out. False if neither can be done.
fn mend(keys: &mut Value, path: &str, example: &Value) -> bool {
    let path = steps(path);
    let Some((last, parents)) = path.split_last() else { return false };
    let good = at(example, &path, true).cloned();
    let mut parent = keys;
    for step in parents {
        let next = match step {
            Step::Key(key) => parent.as_table_mut().and_then(|table| table.get_mut(key)),
            Step::Item(i) => parent.as_array_mut().and_then(|list| list.get_mut(*i)),
        };
        match next {
            Some(next) => parent = next,
            None => return false,
        }
    }
    match (last, parent) {
        (Step::Key(key), Value::Table(table)) => match good {
            Some(good) if table.get(key) != Some(&good) => {
                table.insert(key.clone(), good);
                true
            }
            _ => table.remove(key).is_some(),
        },
        (Step::Item(i), Value::Array(list)) => match (good, list.get_mut(*i)) {
            (Some(good), Some(item)) if *item != good => {
                *item = good;
                true
            }
            _ => false,
        },
        _ => false,
    }
}

/// The line on which a key stands, or the table that it is missing from; none where the file writes it another way.
fn line_of(text: &str, path: &str) -> Option<usize> {
    let keys: Vec<String> = steps(path)
        .into_iter()
        .map_while(|step| match step {
            Step::Key(key) => Some(key),
            Step::Item(_) => None,
        })
        .collect();
    let mut table: Vec<String> = Vec::new();
    let mut best: Option<(usize, usize)> = None;
    for (i, line) in text.lines().enumerate() {
        let line = line.trim();
        let here: Vec<String> = if let Some(header) = line.strip_prefix('[') {
            table = header
                .split(']')
                .next()?
                .trim_matches('[')
                .split('.')
                .map(|key| key.trim().to_owned())
                .collect();
            table.clone()
        } else if let Some((key, _)) = line.split_once('=') {
            table.iter().cloned().chain(key.split('.').map(|key| key.trim().to_owned())).collect()
        } else {
            continue;
        };
        if keys.starts_with(&here) && best.is_none_or(|(depth, _)| here.len() > depth) {
            best = Some((here.len(), i + 1));
        }
    }
    best.map(|(_, line)| line)
}

#[cfg(test)]
mod tests {
    use super::*;

    const EXAMPLE: &str = include_str!("../demo.toml");

    #[test]
    fn the_example_is_read() {
        assert!(site(EXAMPLE, EXAMPLE).is_ok());
    }

    #[test]
    fn every_key_at_fault_is_told_with_its_line() {
        let text = EXAMPLE
            .replacen("height = \"2.8 m\" ", "heigth = \"2.8 m\" ", 1)
            .replacen("charge = \"85 Ah\"", "charge = \"85 kg\"", 1)
            .replacen("wraps = 4 ", "wraps = \"four\" ", 1)
            .replacen("[\"40 m\", \"-27 m\"]", "[\"40 m\"]", 1)
            .replacen("patient = \"82 kg\"\n", "", 1);
        let problems = site(&text, EXAMPLE).unwrap_err();
        for key in [
            "frame.heigth",
            "winch.motor.battery.charge",
            "capstan.wraps",
            "ground[9]",
            "load.patient",
            "frame.height",
        ] {
            assert!(problems.iter().any(|problem| problem.contains(key)), "{key}: {problems:#?}");
        }
        assert_eq!(problems.len(), 6, "{problems:#?}");
        let at = |what: &str| text.lines().position(|line| line.contains(what)).unwrap() + 1;
        let line = format!("line {}: frame.heigth", at("heigth"));
        assert!(problems.iter().any(|problem| problem.starts_with(&line)), "{line}: {problems:#?}");
    }

    #[test]
    fn each_single_fault_is_told_once() {
        let keys: Table = EXAMPLE.parse().unwrap();
        let (mut asked, mut told) = (0, 0);
        for (name, table) in keys.iter().filter_map(|(name, value)| Some((name, value.as_table()?))) {
            for key in table.keys() {
                asked += 1;
                let mut broken = keys.clone();
                broken[name].as_table_mut().unwrap().insert(key.clone(), Value::Boolean(true));
                let problems = site(&toml::to_string(&broken).unwrap(), EXAMPLE).unwrap_err();
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
