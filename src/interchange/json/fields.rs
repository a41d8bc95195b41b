//! Reading the fields of a JSON object, so that every error names the field.

use super::error::{Coded, ReadError};
use serde_json::{Map, Value};
use std::fmt::Display;
use std::str::FromStr;

/// A JSON object with the path that leads to it.
#[derive(Clone, Debug)]
pub(super) struct Fields<'v> {
    path: String,
    map: &'v Map<String, Value>,
}

const TEXT: &str = "text";
const NUMBER: &str = "a whole number from 0";
const LIST: &str = "a list";
const OBJECT: &str = "an object";

/// Parses a text.
pub(super) fn parse(text: &str) -> Result<Value, ReadError> {
    serde_json::from_str(text).map_err(|error| ReadError::Syntax { message: error.to_string() })
}

impl<'v> Fields<'v> {
    /// The fields of an object, of which only these are known.
    pub(super) fn of(value: &'v Value, path: &str, known: &[&str]) -> Result<Self, ReadError> {
        let fields = match value {
            Value::Object(map) => Self { path: path.to_owned(), map },
            _ => return Err(kind(if path.is_empty() { "the text" } else { path }, OBJECT, value)),
        };
        match fields.map.keys().find(|key| !known.contains(&key.as_str())) {
            Some(key) => Err(ReadError::Unknown { field: fields.name(key), known: known.join(", ") }),
            None => Ok(fields),
        }
    }

    /// The path of a field.
    pub(super) fn name(&self, field: &str) -> String {
        if self.path.is_empty() { field.to_owned() } else { format!("{}.{field}", self.path) }
    }

    /// A field whose value contradicts another.
    pub(super) fn error(&self, field: &str, message: impl Display) -> ReadError {
        ReadError::Value { field: self.name(field), message: message.to_string(), code: "json-value" }
    }

    /// A field whose value a layer below refuses.
    pub(super) fn refused(&self, field: &str, error: &impl Coded) -> ReadError {
        ReadError::Value { field: self.name(field), message: error.to_string(), code: error.code() }
    }

    /// The value of a field, if it is there and not null.
    pub(super) fn get(&self, field: &str) -> Option<&'v Value> {
        self.map.get(field).filter(|value| !value.is_null())
    }

    /// The value of a field that must be there.
    pub(super) fn need(&self, field: &str, expected: &'static str) -> Result<&'v Value, ReadError> {
        self.get(field).ok_or_else(|| ReadError::Missing { field: self.name(field), expected })
    }

    /// An object in a field.
    pub(super) fn object(&self, field: &str, known: &[&str]) -> Result<Self, ReadError> {
        Self::of(self.need(field, OBJECT)?, &self.name(field), known)
    }

    /// The objects of a list in a field.
    pub(super) fn objects(&self, field: &str, known: &[&str]) -> Result<Vec<Self>, ReadError> {
        let value = self.need(field, LIST)?;
        let items = value.as_array().ok_or_else(|| kind(&self.name(field), LIST, value))?;
        let path = |index| format!("{}[{index}]", self.name(field));
        items.iter().enumerate().map(|(index, item)| Self::of(item, &path(index), known)).collect()
    }

    /// Text in a field.
    pub(super) fn text(&self, field: &str) -> Result<&'v str, ReadError> {
        let value = self.need(field, TEXT)?;
        value.as_str().ok_or_else(|| kind(&self.name(field), TEXT, value))
    }

    /// Text in a field that may be left out.
    pub(super) fn optional_text(&self, field: &str) -> Result<Option<&'v str>, ReadError> {
        self.get(field).map(|_| self.text(field)).transpose()
    }

    /// A value written as text.
    pub(super) fn parsed<T: FromStr<Err: Coded>>(&self, field: &str) -> Result<T, ReadError> {
        self.text(field)?.parse().map_err(|error| self.refused(field, &error))
    }

    /// A value written as text that may be left out.
    pub(super) fn optional<T: FromStr<Err: Coded>>(&self, field: &str) -> Result<Option<T>, ReadError> {
        self.get(field).map(|_| self.parsed(field)).transpose()
    }

    /// A number to count with.
    pub(super) fn count(&self, field: &str) -> Result<usize, ReadError> {
        let value = self.need(field, NUMBER)?;
        let number = value.as_u64().and_then(|number| usize::try_from(number).ok());
        number.ok_or_else(|| kind(&self.name(field), NUMBER, value))
    }
}

fn kind(field: &str, expected: &'static str, value: &Value) -> ReadError {
    let found = match value {
        Value::Null => "null",
        Value::Bool(_) => "true or false",
        Value::Number(_) => "such a number",
        Value::String(_) => TEXT,
        Value::Array(_) => LIST,
        Value::Object(_) => OBJECT,
    };
    ReadError::Kind { field: field.to_owned(), expected, found }
}
