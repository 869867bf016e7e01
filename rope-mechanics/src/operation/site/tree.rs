//! A file before anybody asks what its keys mean: tables, lists, texts and numbers, as TOML or JSON has them.

use alloc::borrow::ToOwned;
use alloc::format;
use alloc::string::{String, ToString};
use alloc::vec::Vec;
use core::fmt;
use serde::de::{self, DeserializeSeed, IntoDeserializer, MapAccess, SeqAccess, Visitor};
use serde::ser::{SerializeMap, SerializeSeq};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// What stands in a file, key by key: read it from TOML, JSON or whatever serde reads.
///
/// ```
/// use rope_mechanics::operation::site::KeyTree;
///
/// let keys: KeyTree = toml::from_str("[frame]\nx = \"0 m\"\nfeet = [1, 2]")?;
/// assert_eq!(keys.at("frame.x").and_then(KeyTree::text), Some("0 m"));
/// assert_eq!(keys.at("frame.feet[1]"), Some(&KeyTree::Whole(2)));
/// # Ok::<(), toml::de::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum KeyTree {
    /// JSON's null: the same as a key that is left out.
    Nothing,
    /// True or false.
    Flag(bool),
    /// A whole number.
    Whole(i64),
    /// Any other number.
    Number(f64),
    /// Words, or a quantity with its unit.
    Text(String),
    /// A list in brackets.
    List(Vec<KeyTree>),
    /// Keys and what they hold, in the order of the file.
    Table(Vec<(String, KeyTree)>),
}

/// A step into a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Step<'a> {
    Key(&'a str),
    Item(usize),
}

/// The steps of a path: `haul.redirects[0].at`.
pub(super) fn steps(path: &str) -> impl Iterator<Item = Step<'_>> {
    path.split('.').flat_map(|part| {
        let (key, items) = part.split_once('[').unwrap_or((part, ""));
        let items = items.trim_end_matches(']').split("][").filter_map(|item| item.parse().ok());
        (!key.is_empty()).then_some(Step::Key(key)).into_iter().chain(items.map(Step::Item))
    })
}

/// The path of what stands in a table.
pub(super) fn within(table: &str, name: &str) -> String {
    if table.is_empty() {
        name.to_owned()
    } else if name.is_empty() || name.starts_with('[') {
        format!("{table}{name}")
    } else {
        format!("{table}.{name}")
    }
}

impl KeyTree {
    /// What stands at a path, as in `haul.redirects[0].at`.
    #[must_use]
    pub fn at(&self, path: &str) -> Option<&Self> {
        steps(path).try_fold(self, |tree, step| match (step, tree) {
            (Step::Key(key), Self::Table(keys)) => {
                keys.iter().find(|(name, _)| name == key).map(|pair| &pair.1)
            }
            (Step::Item(i), Self::List(items)) => items.get(i),
            _ => None,
        })
    }

    /// The same, to be changed.
    pub(super) fn at_mut(&mut self, path: &str) -> Option<&mut Self> {
        steps(path).try_fold(self, |tree, step| match (step, tree) {
            (Step::Key(key), Self::Table(keys)) => {
                keys.iter_mut().find(|(name, _)| name == key).map(|pair| &mut pair.1)
            }
            (Step::Item(i), Self::List(items)) => items.get_mut(i),
            _ => None,
        })
    }

    /// Its words.
    #[must_use]
    pub fn text(&self) -> Option<&str> {
        match self {
            Self::Text(text) => Some(text),
            _ => None,
        }
    }

    /// What the tree describes.
    pub(super) fn read<'de, T: Deserialize<'de>>(&'de self) -> Result<T, TreeError> {
        T::deserialize(Walk(self))
    }

    /// Its keys, if it is a table.
    pub(super) fn keys(&self) -> &[(String, Self)] {
        match self {
            Self::Table(keys) => keys,
            _ => &[],
        }
    }

    /// Its items, if it is a list.
    pub(super) fn items(&self) -> &[Self] {
        match self {
            Self::List(items) => items,
            _ => &[],
        }
    }

    /// Puts something at a path, in place of what stands there; tables that it needs are made. False where something else
    /// than a table stands in the way, or a list has no such item.
    pub(super) fn put(&mut self, path: &str, value: Self) -> bool {
        let mut here = self;
        for step in steps(path) {
            let next = match (step, here) {
                (Step::Key(key), Self::Table(keys)) => {
                    let at = keys.iter().position(|(name, _)| name == key).unwrap_or_else(|| {
                        keys.push((key.to_owned(), Self::Table(Vec::new())));
                        keys.len() - 1
                    });
                    keys.get_mut(at).map(|pair| &mut pair.1)
                }
                (Step::Item(i), Self::List(items)) => items.get_mut(i),
                _ => None,
            };
            match next {
                Some(next) => here = next,
                None => return false,
            }
        }
        *here = value;
        true
    }

    /// Takes out what stands at the end of a path of keys.
    pub(super) fn take(&mut self, path: &str) -> Option<Self> {
        let (table, key) = match path.rsplit_once('.') {
            Some((table, key)) => (self.at_mut(table)?, key),
            None => (self, path),
        };
        match table {
            Self::Table(keys) => {
                let at = keys.iter().position(|(name, _)| name == key)?;
                Some(keys.remove(at).1)
            }
            _ => None,
        }
    }
}

impl Serialize for KeyTree {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Nothing => serializer.serialize_none(),
            Self::Flag(flag) => serializer.serialize_bool(*flag),
            Self::Whole(number) => serializer.serialize_i64(*number),
            Self::Number(number) => serializer.serialize_f64(*number),
            Self::Text(text) => serializer.serialize_str(text),
            Self::List(items) => {
                let mut list = serializer.serialize_seq(Some(items.len()))?;
                for item in items {
                    list.serialize_element(item)?;
                }
                list.end()
            }
            Self::Table(keys) => {
                let mut table = serializer.serialize_map(Some(keys.len()))?;
                for (key, value) in keys {
                    table.serialize_entry(key, value)?;
                }
                table.end()
            }
        }
    }
}

impl<'de> Deserialize<'de> for KeyTree {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Reader;
        impl<'de> Visitor<'de> for Reader {
            type Value = KeyTree;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a table of keys")
            }
            fn visit_unit<E: de::Error>(self) -> Result<KeyTree, E> {
                Ok(KeyTree::Nothing)
            }
            fn visit_none<E: de::Error>(self) -> Result<KeyTree, E> {
                Ok(KeyTree::Nothing)
            }
            fn visit_some<D: Deserializer<'de>>(self, inner: D) -> Result<KeyTree, D::Error> {
                KeyTree::deserialize(inner)
            }
            fn visit_bool<E: de::Error>(self, flag: bool) -> Result<KeyTree, E> {
                Ok(KeyTree::Flag(flag))
            }
            fn visit_i64<E: de::Error>(self, number: i64) -> Result<KeyTree, E> {
                Ok(KeyTree::Whole(number))
            }
            fn visit_u64<E: de::Error>(self, number: u64) -> Result<KeyTree, E> {
                Ok(i64::try_from(number).map_or(KeyTree::Number(number as f64), KeyTree::Whole))
            }
            fn visit_f64<E: de::Error>(self, number: f64) -> Result<KeyTree, E> {
                Ok(KeyTree::Number(number))
            }
            fn visit_str<E: de::Error>(self, text: &str) -> Result<KeyTree, E> {
                Ok(KeyTree::Text(text.to_owned()))
            }
            fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<KeyTree, A::Error> {
                let mut items = Vec::new();
                while let Some(item) = list.next_element()? {
                    items.push(item);
                }
                Ok(KeyTree::List(items))
            }
            fn visit_map<A: MapAccess<'de>>(self, mut table: A) -> Result<KeyTree, A::Error> {
                let mut keys: Vec<(String, KeyTree)> = Vec::new();
                while let Some((key, value)) = table.next_entry::<String, _>()? {
                    if keys.iter().any(|(known, _)| *known == key) {
                        return Err(de::Error::custom(format_args!("`{key}` is given twice")));
                    }
                    keys.push((key, value));
                }
                Ok(KeyTree::Table(keys))
            }
        }
        deserializer.deserialize_any(Reader)
    }
}

/// Why a tree is not what was wanted, and where in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct TreeError {
    /// Where it stopped; empty for the whole.
    pub(super) path: String,
    pub(super) why: String,
}

impl TreeError {
    fn under(self, name: &str) -> Self {
        Self { path: within(name, &self.path), why: self.why }
    }
}

impl fmt::Display for TreeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.why)
    }
}

impl core::error::Error for TreeError {}

impl de::Error for TreeError {
    fn custom<T: fmt::Display>(why: T) -> Self {
        Self { path: String::new(), why: why.to_string() }
    }
}

struct Items<'a> {
    rest: core::slice::Iter<'a, KeyTree>,
    done: usize,
}

impl<'de> SeqAccess<'de> for Items<'de> {
    type Error = TreeError;

    fn next_element_seed<T: DeserializeSeed<'de>>(&mut self, seed: T) -> Result<Option<T::Value>, TreeError> {
        let Some(item) = self.rest.next() else { return Ok(None) };
        let at = self.done;
        self.done += 1;
        seed.deserialize(Walk(item)).map(Some).map_err(|why| why.under(&format!("[{at}]")))
    }
}

struct Keys<'a> {
    rest: core::slice::Iter<'a, (String, KeyTree)>,
    now: Option<&'a (String, KeyTree)>,
}

impl<'de> MapAccess<'de> for Keys<'de> {
    type Error = TreeError;

    fn next_key_seed<K: DeserializeSeed<'de>>(&mut self, seed: K) -> Result<Option<K::Value>, TreeError> {
        self.now = self.rest.next();
        match self.now {
            Some((key, _)) => seed.deserialize(key.as_str().into_deserializer()).map(Some),
            None => Ok(None),
        }
    }

    fn next_value_seed<V: DeserializeSeed<'de>>(&mut self, seed: V) -> Result<V::Value, TreeError> {
        let (key, value) = self.now.take().ok_or_else(|| de::Error::custom("a value without its key"))?;
        seed.deserialize(Walk(value)).map_err(|why| why.under(key))
    }
}

/// A tree that is read.
struct Walk<'a>(&'a KeyTree);

impl<'de> Deserializer<'de> for Walk<'de> {
    type Error = TreeError;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, TreeError> {
        match self.0 {
            KeyTree::Nothing => visitor.visit_unit(),
            KeyTree::Flag(flag) => visitor.visit_bool(*flag),
            KeyTree::Whole(number) => match u64::try_from(*number) {
                Ok(number) => visitor.visit_u64(number),
                Err(_) => visitor.visit_i64(*number),
            },
            KeyTree::Number(number) => visitor.visit_f64(*number),
            KeyTree::Text(text) => visitor.visit_borrowed_str(text),
            KeyTree::List(items) => visitor.visit_seq(Items { rest: items.iter(), done: 0 }),
            KeyTree::Table(keys) => visitor.visit_map(Keys { rest: keys.iter(), now: None }),
        }
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, TreeError> {
        match self.0 {
            KeyTree::Nothing => visitor.visit_none(),
            some => visitor.visit_some(Self(some)),
        }
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        visitor: V,
    ) -> Result<V::Value, TreeError> {
        visitor.visit_newtype_struct(self)
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        name: &'static str,
        variants: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, TreeError> {
        match self.0 {
            KeyTree::Text(text) => IntoDeserializer::<TreeError>::into_deserializer(text.as_str())
                .deserialize_enum(name, variants, visitor),
            KeyTree::Table(keys) => {
                let keys = Keys { rest: keys.iter(), now: None };
                de::value::MapAccessDeserializer::new(keys).deserialize_enum(name, variants, visitor)
            }
            _ => self.deserialize_any(visitor),
        }
    }

    serde::forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf unit unit_struct seq tuple
        tuple_struct map struct identifier ignored_any
    }
}
