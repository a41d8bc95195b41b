//! Where a fugue may begin: with the score, or where a voice begins alone after silence.

use crate::recognize::strand::{Strands, Tone};

/// So many places are tried. A fugue that comes after more pauses is not looked for.
const MOST: usize = 8;
/// The notes that the voice has to itself.
const ALONE: usize = 3;

/// The times, in order. Cost: the notes times the logarithm of the voices.
pub(super) fn of(strands: &Strands) -> Vec<i64> {
    let mut voices: Vec<std::iter::Peekable<std::slice::Iter<'_, Tone>>> =
        (0..strands.count()).map(|voice| strands.voice(voice).iter().peekable()).collect();
    let (mut starts, mut silent_from, mut alone) = (Vec::new(), i64::MIN, Alone::default());
    while starts.len() < MOST {
        let next =
            voices.iter_mut().enumerate().filter_map(|(voice, tones)| Some((tones.peek()?.on, voice))).min();
        let Some((onset, voice)) = next else { break };
        let Some(tone) = voices[voice].next() else { break };
        let silence = onset > silent_from;
        silent_from = silent_from.max(tone.off);
        starts.extend(alone.hear(voice, onset, silence));
    }
    let first = (0..strands.count()).filter_map(|voice| strands.opening(voice)).min();
    let mut starts: Vec<i64> = first.into_iter().chain(starts).collect();
    starts.dedup();
    starts
}

/// A voice that has begun after silence, and how many notes it has had to itself.
#[derive(Default)]
struct Alone {
    began: Option<(usize, i64)>,
    notes: usize,
}

impl Alone {
    /// Takes a note; returns when the voice began if it has now been alone for long enough.
    fn hear(&mut self, voice: usize, onset: i64, after_silence: bool) -> Option<i64> {
        if after_silence {
            (self.began, self.notes) = (Some((voice, onset)), 0);
        }
        let (leader, began) = self.began?;
        if leader != voice {
            self.began = None;
            return None;
        }
        self.notes += 1;
        if self.notes == ALONE {
            self.began = None;
            return Some(began);
        }
        None
    }
}
