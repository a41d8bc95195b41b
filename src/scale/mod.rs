//! Scale degrees, with their alterations, and the scales of a key.
//!
//! A [`Degree`] is counted in the scale of the key's signature: in A minor, G is the seventh
//! degree and G# the raised seventh, written `#7`. The tonic of the next octave is degree 1 again.
//! [`MinorForm`] chooses among the forms of the minor scale.
//!
//! ```
//! use soggetto::key::Key;
//! use soggetto::scale::MinorForm;
//! let key: Key = "A minor".parse()?;
//! assert_eq!(key.degree("G#".parse()?).to_string(), "#7");
//! let scale = key.scale(MinorForm::Melodic)?.map(|class| class.to_string());
//! assert_eq!(scale, ["A", "B", "C", "D", "E", "F#", "G#"]);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod degree;
mod form;

pub use degree::{Degree, DegreeError};
pub use form::MinorForm;

#[cfg(test)]
pub(crate) use degree::tests::any_degree;
