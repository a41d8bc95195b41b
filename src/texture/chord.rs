//! The chord in which two clashing notes are heard together.

use crate::interval::Interval;
use crate::pitch::PitchClass;

/// A chord of thirds on a root: triad or seventh chord, as it shows itself to the ear.
///
/// ```
/// use soggetto::texture::HeardChord;
/// let classes = ["A", "C#", "G"].map(|name| name.parse().unwrap());
/// let chord = HeardChord::of(&classes, [classes[0], classes[2]]).unwrap();
/// assert_eq!(chord.root(), classes[0]);
/// assert!(chord.contains("E".parse()?) && !chord.contains("F".parse()?));
/// // Without its third the seventh is only a seventh.
/// assert!(HeardChord::of(&[classes[0], classes[2]], [classes[0], classes[2]]).is_none());
/// # Ok::<(), soggetto::pitch::PitchError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct HeardChord {
    root: PitchClass,
    has_seventh: bool,
}

impl HeardChord {
    /// The chord that holds two notes, if its root and its third are among what is heard; of several that to which
    /// fewest notes are strange. A diminished seventh, or the augmented second that is its inversion, is a chord by
    /// itself: no other holds both its notes.
    pub fn of(heard: &[PitchClass], two: [PitchClass; 2]) -> Option<Self> {
        let third = |root: PitchClass, note: PitchClass| root.up_to(note).steps() == 2;
        let chords = heard.iter().map(|&root| Self::on(root, heard));
        let complete = chords.filter(|chord| {
            two.iter().all(|&note| chord.contains(note))
                && heard.iter().any(|&note| third(chord.root, note) && chord.contains(note))
        });
        let strange = |chord: &Self| heard.iter().filter(|&&note| !chord.contains(note)).count();
        complete.min_by_key(strange).or_else(|| Self::of_diminished_seventh(two))
    }

    fn on(root: PitchClass, heard: &[PitchClass]) -> Self {
        let chord = Self { root, has_seventh: false };
        let is_seventh = |note: &&PitchClass| root.up_to(**note).steps() == 6 && chord.contains(**note);
        Self { has_seventh: heard.iter().any(|note| is_seventh(&note)), ..chord }
    }

    fn of_diminished_seventh([one, other]: [PitchClass; 2]) -> Option<Self> {
        let spans = |root: PitchClass, note: PitchClass| root.up_to(note) == Interval::DIMINISHED_SEVENTH;
        let root = if spans(one, other) { Some(one) } else { Some(other).filter(|&it| spans(it, one)) };
        root.map(|root| Self { root, has_seventh: true })
    }

    /// Its root.
    pub const fn root(self) -> PitchClass {
        self.root
    }

    /// Whether its seventh is among what is heard.
    pub const fn has_seventh(self) -> bool {
        self.has_seventh
    }

    /// Whether a note is its root, third, fifth or seventh.
    pub fn contains(self, note: PitchClass) -> bool {
        let up = self.root.up_to(note);
        matches!((up.steps(), up.semitones()), (0, 0) | (2, 3 | 4) | (4, 6..=8) | (6, 9..=11))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chord(heard: &str, two: &str) -> Option<String> {
        let classes =
            |text: &str| -> Vec<PitchClass> { text.split(' ').map(|name| name.parse().unwrap()).collect() };
        let two = classes(two);
        HeardChord::of(&classes(heard), [two[0], two[1]]).map(|chord| chord.root().to_string())
    }

    #[test]
    fn chord_needs_its_root_and_its_third() {
        assert_eq!(chord("G B F", "G F"), Some("G".to_owned()));
        assert_eq!(chord("G D F", "G F"), None);
        assert_eq!(chord("B F", "B F"), None);
        assert_eq!(chord("D B F", "B F"), Some("B".to_owned()));
        assert_eq!(chord("C E G", "G C"), Some("C".to_owned()));
        assert_eq!(chord("C# E Bb", "C# Bb"), Some("C#".to_owned()));
        assert_eq!(chord("Ab D B F", "D Ab"), Some("B".to_owned()));
    }

    // Common practice: the spelling tells the root.
    #[test]
    fn diminished_seventh_is_a_chord_by_itself() {
        assert_eq!(chord("C# Bb", "C# Bb"), Some("C#".to_owned()));
        assert_eq!(chord("Bb C#", "Bb C#"), Some("C#".to_owned()));
        assert_eq!(chord("C Bb", "C Bb"), None);
    }

    #[test]
    fn chord_is_spelled_in_thirds() {
        assert_eq!(chord("G B E#", "G E#"), None);
        assert_eq!(chord("C E D", "C D"), None);
    }
}
