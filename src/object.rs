//! JSON objects only. Derived code also takes an array for a struct, field by field in order;
//! the exchange format does not, because a shifted field would be read as another one.

use std::fmt;
use std::marker::PhantomData;

use serde::de::value::MapAccessDeserializer;
use serde::de::{Deserialize, Deserializer, MapAccess, Visitor};

struct ObjectOnly<T>(PhantomData<T>);

impl<'de, T: Deserialize<'de>> Visitor<'de> for ObjectOnly<T> {
    type Value = T;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("an object")
    }

    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<T, A::Error> {
        T::deserialize(MapAccessDeserializer::new(map))
    }
}

/// One object.
pub(crate) fn one<'de, D: Deserializer<'de>, T: Deserialize<'de>>(deserializer: D) -> Result<T, D::Error> {
    deserializer.deserialize_map(ObjectOnly(PhantomData))
}

struct Element<T>(T);

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Element<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        one(deserializer).map(Self)
    }
}

/// One object or `null`.
pub(crate) fn maybe<'de, D: Deserializer<'de>, T: Deserialize<'de>>(deserializer: D) -> Result<Option<T>, D::Error> {
    Ok(Option::<Element<T>>::deserialize(deserializer)?.map(|element| element.0))
}

/// A list of objects.
pub(crate) fn list<'de, D: Deserializer<'de>, T: Deserialize<'de>>(deserializer: D) -> Result<Vec<T>, D::Error> {
    let elements = Vec::<Element<T>>::deserialize(deserializer)?;
    Ok(elements.into_iter().map(|element| element.0).collect())
}
