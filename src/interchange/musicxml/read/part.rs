//! One part: its bars, and what stands from bar to bar.

use super::attributes::Transposition;
use super::bar::{Bar, Walk};
use super::document::Source;
use super::error::{ReadError, Spot};
use crate::interval::Interval;
use crate::voice::Clef;
use std::collections::BTreeMap;
use std::rc::Rc;

/// What stands from one bar to the next.
#[derive(Clone, Debug)]
pub(super) struct State {
    /// Divisions a quarter note, as a fraction.
    pub(super) divisions: (i64, i64),
    /// From written to sounding pitch.
    pub(super) to_sounding: Interval,
    /// The first clef of each staff.
    pub(super) clefs: BTreeMap<u8, Clef>,
    /// The first transposition as the file gives it.
    pub(super) given: Option<Transposition>,
    /// The name of the voice read last: most notes share it with the one before.
    pub(super) voice: Rc<str>,
    /// The names of voices that have none: the passes through a bar, counted from 1.
    passes: Vec<Rc<str>>,
    fixed: Option<Interval>,
}

impl State {
    /// At the beginning of a part; `fixed` overrules what the file says of transposition.
    fn new(fixed: Option<Interval>) -> Self {
        let to_sounding = fixed.unwrap_or(Interval::UNISON);
        let (divisions, clefs, voice) = ((1, 1), BTreeMap::new(), Rc::from(""));
        Self { divisions, to_sounding, clefs, given: None, voice, passes: Vec::new(), fixed }
    }

    /// The name of a voice that has none, by how often its bar had stepped back before.
    pub(super) fn pass(&mut self, layer: usize) -> Rc<str> {
        while self.passes.len() <= layer {
            self.passes.push((self.passes.len() + 1).to_string().into());
        }
        Rc::clone(&self.passes[layer])
    }

    pub(super) fn transpose(&mut self, transposition: Transposition) {
        self.given = self.given.or(Some(transposition));
        self.to_sounding = self.fixed.unwrap_or(transposition.to_sounding);
    }
}

/// A part as read.
#[derive(Clone, Debug)]
pub(super) struct Read {
    pub(super) name: String,
    pub(super) sound: Option<u8>,
    pub(super) bars: Vec<Bar>,
    pub(super) clefs: BTreeMap<u8, Clef>,
    pub(super) to_sounding: Interval,
    /// Whether the file gave the transposition only in part.
    pub(super) completed: bool,
}

impl Read {
    /// Whether its notes have no pitch, as those of a drum: it is no voice.
    pub(super) fn is_unpitched(&self) -> bool {
        self.bars.iter().any(|bar| bar.marks.unpitched > 0)
            && self.bars.iter().all(|bar| bar.notes.is_empty())
    }
}

/// Reads all bars of a part; `first` is the number of its first bar.
pub(super) fn read(source: &Source<'_>, fixed: Option<Interval>, first: i64) -> Result<Read, ReadError> {
    let mut state = State::new(fixed);
    let mut bars = Vec::with_capacity(source.bars.len());
    for (bar, written) in (first..).zip(&source.bars) {
        let spot = Spot { part: source.name.clone(), bar };
        bars.push(Walk::read(written, spot, &mut state)?);
    }
    let given = state.given.map_or(Interval::UNISON, |given| given.to_sounding);
    let to_sounding = fixed.unwrap_or(given);
    let completed = state.given.is_some_and(|given| given.completed);
    Ok(Read {
        name: source.name.clone(),
        sound: source.sound,
        bars,
        clefs: state.clefs,
        to_sounding,
        completed,
    })
}
