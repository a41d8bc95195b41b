//! Pedal notes too quick for feet.

use super::keyboard::is_pedal;
use crate::rules::{Evidence, Reach, Report, Rule, RuleId, RuleInfo, Severity, Spot};
use crate::source::Source;
use crate::texture::{Texture, Tone};
use crate::time::Time;

#[doc = include_str!("quick_pedal.md")]
#[derive(Clone, Copy, Debug)]
pub struct QuickPedal {
    /// The shortest note that is not quick, in whole notes: an eighth by default.
    pub shortest: Time,
    /// How many quick notes in succession feet can play: 4 by default.
    pub notes: usize,
}

impl Default for QuickPedal {
    fn default() -> Self {
        Self { shortest: Time::new(1, 8).unwrap_or(Time::WHOLE), notes: 4 }
    }
}

static INFO: RuleInfo = RuleInfo {
    id: RuleId::new("quick-pedal"),
    severity: Severity::Remark,
    summary: "the pedal has a run of quick notes",
    page: include_str!("quick_pedal.md"),
    source: Source::CommonPractice,
};

/// The runs of notes shorter than so many ticks: the first note and how many there are.
fn runs(tones: &[Tone], shortest: i64) -> Vec<(usize, usize)> {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for (index, tone) in tones.iter().enumerate().filter(|(_, tone)| tone.duration() < shortest) {
        let before = index.checked_sub(1).and_then(|before| tones.get(before));
        let joined = before.is_some_and(|before| before.end == tone.onset);
        match runs.last_mut() {
            Some((first, count)) if joined && *first + *count == index => *count += 1,
            _ => runs.push((index, 1)),
        }
    }
    runs
}

impl Rule for QuickPedal {
    fn info(&self) -> &RuleInfo {
        &INFO
    }

    fn reach(&self, texture: &Texture<'_>) -> Reach {
        let shortest = texture.grid().ticks(self.shortest);
        let pedals = (0..texture.voices()).filter(|&voice| is_pedal(texture.name(voice)));
        let all = pedals.map(|voice| texture.tones(voice)).flat_map(|tones| {
            runs(tones, shortest)
                .into_iter()
                .filter_map(|(first, count)| Some((tones.get(first)?, tones.get(first + count - 1)?)))
        });
        Reach::Near(all.map(|(from, to)| from.onset..to.end).collect())
    }

    fn check(&self, texture: &Texture<'_>, report: &mut Report<'_>) {
        let shortest = texture.grid().ticks(self.shortest);
        for voice in (0..texture.voices()).filter(|&voice| is_pedal(texture.name(voice))) {
            let tones = texture.tones(voice);
            for (first, count) in runs(tones, shortest).into_iter().filter(|run| run.1 > self.notes) {
                let (Some(from), Some(to)) = (tones.get(first), tones.get(first + count - 1)) else {
                    continue;
                };
                let spot = Spot::new(from.onset, (first..first + count).map(|note| (voice, note)).collect());
                let message = format_args!("{} has {count} quick notes in succession", texture.name(voice));
                report.add(spot, message, Evidence::of_stretch(texture, to.end - from.onset));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::QuickPedal;
    use crate::score::{Part, Score};
    use crate::texture::Texture;
    use crate::time::Time;
    use crate::voice::Voice;

    /// What the rule says of a line for a voice.
    fn says(name: &str, line: &str) -> Vec<String> {
        let part = Part { voice: Voice::new(name), line: line.parse().unwrap() };
        let (key, meter) = ("C major".parse().unwrap(), "4/4".parse().unwrap());
        let score = Score::new(key, meter, Time::ZERO, vec![part]).unwrap();
        let marks = Texture::of(&score).marks(&QuickPedal::default());
        marks
            .into_iter()
            .map(|it| format!("{}: {} {:?} {}", it.place, it.severity, it.notes, it.message))
            .collect()
    }

    const QUICK: &str = "C3:1/4 D3:1/16 E3 F3 G3 A3 G3 F3:1/8 C3:1/4";

    #[test]
    fn finds_a_run_of_sixteenths() {
        assert_eq!(
            says("pedal", QUICK),
            ["bar 1, beat 2: Remark [(0, 1), (0, 2), (0, 3), (0, 4), (0, 5), (0, 6)] \
                 pedal has 6 quick notes in succession"]
        );
    }

    #[test]
    fn allows_four_of_them_and_eighths() {
        assert!(says("pedal", "C3:1/4 D3:1/16 E3 F3 G3 A3:1/4 G3:1/16 A3 R F3 E3").is_empty());
        assert!(says("pedal", "C3:1/8 D3 E3 F3 G3 A3 B3 C4").is_empty());
    }

    #[test]
    fn allows_any_speed_to_the_hands() {
        assert!(says("bass", QUICK).is_empty());
    }
}
