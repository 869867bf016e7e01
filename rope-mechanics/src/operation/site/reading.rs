//! How single keys of a site file are read, with what is wanted told in a crew's words.

use alloc::format;
use alloc::string::String;
use alloc::vec::Vec;
use core::fmt;
use core::marker::PhantomData;
use serde::de::{Deserialize, Deserializer, Error, SeqAccess, Visitor};

/// A key that is read by `R`.
pub(super) fn by<'de, R, T, D>(deserializer: D) -> Result<T, D::Error>
where
    R: Deserialize<'de> + Into<T>,
    D: Deserializer<'de>,
{
    R::deserialize(deserializer).map(Into::into)
}

/// A key that is read by `R` and may be left out.
pub(super) fn optional<'de, R, T, D>(deserializer: D) -> Result<Option<T>, D::Error>
where
    R: Deserialize<'de> + Into<T>,
    D: Deserializer<'de>,
{
    Ok(Option::<R>::deserialize(deserializer)?.map(Into::into))
}

/// The one that is given.
pub(super) fn one_of<T, const N: usize>(ways: [(&str, Option<T>); N]) -> Result<T, String> {
    let names = ways.each_ref().map(|way| way.0);
    let mut given = ways.into_iter().filter_map(|(name, value)| Some((name, value?)));
    match (given.next(), given.next()) {
        (Some((_, value)), None) => Ok(value),
        (None, _) => Err(format!("give one of {}", names.join(", "))),
        (Some((first, _)), Some((second, _))) => {
            let all: Vec<_> = [first, second].into_iter().chain(given.map(|way| way.0)).collect();
            Err(format!("give one of {} only; {} are given", names.join(", "), all.join(" and ")))
        }
    }
}

/// A plain number.
pub(super) struct Number(f64);

impl From<Number> for f64 {
    fn from(number: Number) -> Self {
        number.0
    }
}

impl<'de> Deserialize<'de> for Number {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Reader;
        impl Visitor<'_> for Reader {
            type Value = Number;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a number without quotes and unit, as in 4.5")
            }
            fn visit_f64<E: Error>(self, number: f64) -> Result<Number, E> {
                Ok(Number(number))
            }
            fn visit_i64<E: Error>(self, number: i64) -> Result<Number, E> {
                Ok(Number(number as f64))
            }
            fn visit_u64<E: Error>(self, number: u64) -> Result<Number, E> {
                Ok(Number(number as f64))
            }
        }
        deserializer.deserialize_f64(Reader)
    }
}

/// A whole number from 0 up.
pub(super) struct Count(u32);

impl From<Count> for u32 {
    fn from(count: Count) -> Self {
        count.0
    }
}

impl<'de> Deserialize<'de> for Count {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Reader;
        impl Reader {
            fn refuse<E: Error>(&self, number: impl fmt::Display) -> E {
                E::custom(format_args!("{number} is not {}", self as &dyn serde::de::Expected))
            }
        }
        impl Visitor<'_> for Reader {
            type Value = Count;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a whole number without quotes, as in 200")
            }
            fn visit_u64<E: Error>(self, number: u64) -> Result<Count, E> {
                number.try_into().map(Count).map_err(|_| E::custom(format_args!("{number} is too large")))
            }
            fn visit_i64<E: Error>(self, number: i64) -> Result<Count, E> {
                match number.try_into() {
                    Ok(number) => self.visit_u64(number),
                    Err(_) => Err(E::custom(format_args!("{number} is below zero"))),
                }
            }
            fn visit_f64<E: Error>(self, number: f64) -> Result<Count, E> {
                Err(self.refuse(number))
            }
        }
        deserializer.deserialize_u32(Reader)
    }
}

/// Words in quotes.
pub(super) struct Words(String);

impl From<Words> for String {
    fn from(words: Words) -> Self {
        words.0
    }
}

impl<'de> Deserialize<'de> for Words {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Reader;
        impl Visitor<'_> for Reader {
            type Value = Words;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("words in quotes")
            }
            fn visit_str<E: Error>(self, words: &str) -> Result<Words, E> {
                Ok(Words(words.into()))
            }
        }
        deserializer.deserialize_str(Reader)
    }
}

/// A list in brackets.
pub(super) struct List<T>(Vec<T>);

impl<T> From<List<T>> for Vec<T> {
    fn from(list: List<T>) -> Self {
        list.0
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for List<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Reader<T>(PhantomData<T>);
        impl<'de, T: Deserialize<'de>> Visitor<'de> for Reader<T> {
            type Value = List<T>;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a list in [ ]")
            }
            fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<List<T>, A::Error> {
                let mut items = Vec::new();
                while let Some(item) = list.next_element()? {
                    items.push(item);
                }
                Ok(List(items))
            }
        }
        deserializer.deserialize_seq(Reader(PhantomData))
    }
}
