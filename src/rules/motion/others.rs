//! What the other voices do as two of them move.

use crate::texture::{Step, Texture};

/// Whether one of some voices sounds as the step is made.
pub(super) fn sounds(
    texture: &Texture<'_>,
    step: &Step<'_>,
    mut voices: impl Iterator<Item = usize>,
) -> bool {
    let onsets = [step.before().onset(), step.after().onset()];
    voices.any(|voice| onsets.into_iter().any(|onset| texture.sounding(voice, onset).is_some()))
}

/// Whether no other voice sounds as the step is made.
pub(super) fn are_alone(texture: &Texture<'_>, step: &Step<'_>) -> bool {
    let pair = step.after().pair();
    let others = (0..texture.voices()).filter(|voice| ![pair.upper(), pair.lower()].contains(voice));
    !sounds(texture, step, others)
}
