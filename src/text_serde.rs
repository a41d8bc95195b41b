//! Serde for values that have a text form: written as that text, read through its checked parser.

/// Implements `Serialize` and `Deserialize` for types with `Display` and `FromStr`.
macro_rules! serde_as_text {
    ($($type:ty),+ $(,)?) => {$(
        #[cfg(feature = "serde")]
        impl serde::Serialize for $type {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.collect_str(self)
            }
        }
        #[cfg(feature = "serde")]
        impl<'de> serde::Deserialize<'de> for $type {
            fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                deserializer.deserialize_str($crate::text_serde::TextVisitor::new(stringify!($type)))
            }
        }
    )+};
}
pub(crate) use serde_as_text;

/// Reads a text and refuses anything else by the name of the type it stands for.
#[cfg(feature = "serde")]
pub(crate) struct TextVisitor<T> {
    name: &'static str,
    value: std::marker::PhantomData<T>,
}

#[cfg(feature = "serde")]
impl<T> TextVisitor<T> {
    pub(crate) fn new(name: &'static str) -> Self {
        Self { name, value: std::marker::PhantomData }
    }
}

#[cfg(feature = "serde")]
impl<T: std::str::FromStr<Err: std::fmt::Display>> serde::de::Visitor<'_> for TextVisitor<T> {
    type Value = T;

    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "a text ({})", self.name)
    }

    fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<T, E> {
        text.parse().map_err(E::custom)
    }
}
