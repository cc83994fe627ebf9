//! A JSON object laid out flat: nested names joined, values as text.

use serde::de::{DeserializeSeed, Deserializer, MapAccess, SeqAccess, Visitor};
use std::borrow::Cow;
use std::fmt;

/// Gives every value of an object with its name; names within names are joined by a point, places in
/// a list by their number. False where the object is not well formed.
pub(crate) fn flatten(object: &[u8], sink: &mut dyn FnMut(&str, &str)) -> bool {
    let mut reader = serde_json::Deserializer::from_slice(object);
    let mut name = String::new();
    Flat { name: &mut name, sink, depth: 0 }.deserialize(&mut reader).is_ok() && reader.end().is_ok()
}

struct Flat<'a> {
    name: &'a mut String,
    sink: &'a mut dyn FnMut(&str, &str),
    depth: usize,
}

/// Deeper than this no log goes.
const DEEPEST: usize = 6;

impl<'de> DeserializeSeed<'de> for Flat<'_> {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<(), D::Error> {
        deserializer.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Flat<'_> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("names and values")
    }

    fn visit_unit<E>(self) -> Result<(), E> {
        Ok(())
    }

    fn visit_bool<E>(self, value: bool) -> Result<(), E> {
        (self.sink)(self.name, if value { "true" } else { "false" });
        Ok(())
    }

    fn visit_i64<E>(self, value: i64) -> Result<(), E> {
        (self.sink)(self.name, &value.to_string());
        Ok(())
    }

    fn visit_u64<E>(self, value: u64) -> Result<(), E> {
        (self.sink)(self.name, &value.to_string());
        Ok(())
    }

    fn visit_f64<E>(self, value: f64) -> Result<(), E> {
        (self.sink)(self.name, &value.to_string());
        Ok(())
    }

    fn visit_str<E>(self, value: &str) -> Result<(), E> {
        (self.sink)(self.name, value);
        Ok(())
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<(), A::Error> {
        let length = self.name.len();
        while let Some(key) = map.next_key::<Cow<'_, str>>()? {
            if self.depth >= DEEPEST {
                map.next_value::<serde::de::IgnoredAny>()?;
                continue;
            }
            if length > 0 {
                self.name.push('.');
            }
            self.name.push_str(&key);
            map.next_value_seed(Flat { name: self.name, sink: self.sink, depth: self.depth + 1 })?;
            self.name.truncate(length);
        }
        Ok(())
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<(), A::Error> {
        const MOST: usize = 64;
        let length = self.name.len();
        let mut number = 0;
        loop {
            if self.depth >= DEEPEST || number >= MOST {
                if list.next_element::<serde::de::IgnoredAny>()?.is_none() {
                    return Ok(());
                }
                continue;
            }
            number += 1;
            self.name.push_str(&format!("[{number}]"));
            let more =
                list.next_element_seed(Flat { name: self.name, sink: self.sink, depth: self.depth + 1 })?;
            self.name.truncate(length);
            if more.is_none() {
                return Ok(());
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_within_names_are_joined() {
        let mut all = Vec::new();
        assert!(
            flatten(br#"{"t":1,"b":{"v":[12.5,"x"]},"n":null}"#, &mut |n, v| all.push(format!("{n}={v}")))
        );
        assert_eq!(all, ["t=1", "b.v[1]=12.5", "b.v[2]=x"]);
        assert!(!flatten(b"{\"t\":}", &mut |_, _| {}));
    }
}
