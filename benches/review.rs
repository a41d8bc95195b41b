//! How long a review takes: the texture of a score and all rules of the default book.
//!
//! `cargo bench --bench review`. Beside each review stands a bare loop over the same notes, which
//! looks at every pair of simultaneous notes once, so that a ratio can be quoted.
#![expect(clippy::expect_used, reason = "a benchmark may panic: that is how it fails")]

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use soggetto::rules::RuleBook;
use soggetto::score::Score;
use soggetto::texture::{Texture, Tone};
use std::hint::black_box;

/// Two bars of four voices in free imitation: 33 notes.
const PHRASE: [&str; 4] = [
    "G4:1/8 A4 B4 C5 D5:1/4 C5 B4:1/8 C5 D5 B4 C5:1/2 ",
    "E4:1/4 D4:1/8 E4 F4:1/4 E4 D4:1/4 G4:3/8 F4:1/8 E4:1/4 ",
    "C4:1/4 F3 B3:1/4 G3:1/8 A3 B3:1/4 G3:1/4 G3:1/2 ",
    "C3:1/4 D3 G2 C3 G3:1/8 F3 E3 D3 C3:1/2 ",
];

/// A score of so many phrases.
fn score(phrases: usize) -> Score {
    let lines = PHRASE.map(|line| line.repeat(phrases));
    let lines: Vec<&str> = lines.iter().map(String::as_str).collect();
    Score::excerpt("C major", "4/4", &lines).expect("the phrase is sound")
}

/// The bare loop: for each pair of voices, the sum of the heights of all pairs of simultaneous notes.
fn bare_loop(voices: &[Vec<Tone>]) -> i32 {
    let mut sum = 0_i32;
    for (lower, below) in voices.iter().enumerate() {
        for above in voices.iter().take(lower) {
            let (mut a, mut b) = (0, 0);
            while let (Some(one), Some(other)) = (above.get(a), below.get(b)) {
                sum = sum.wrapping_add(one.pitch.height() - other.pitch.height());
                a += usize::from(one.end <= other.end);
                b += usize::from(other.end <= one.end);
            }
        }
    }
    sum
}

fn review(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("review");
    let book = RuleBook::default();
    for phrases in [6, 30, 300, 3_000, 30_000] {
        let score = score(phrases);
        let notes: usize = score.parts().iter().map(|part| part.line.notes().len()).sum();
        let texture = Texture::of(&score);
        let voices: Vec<Vec<Tone>> =
            (0..texture.voices()).map(|voice| texture.tones(voice).to_vec()).collect();
        group.throughput(Throughput::Elements(notes as u64));
        group.sample_size(if phrases > 300 { 10 } else { 50 });
        group.bench_with_input(BenchmarkId::new("texture", notes), &score, |b, score| {
            b.iter(|| black_box(Texture::of(black_box(score)).dissonances().len()));
        });
        group.bench_with_input(BenchmarkId::new("texture and rules", notes), &score, |b, score| {
            b.iter(|| black_box(book.review(&Texture::of(black_box(score))).len()));
        });
        group.bench_with_input(BenchmarkId::new("bare loop", notes), &voices, |b, voices| {
            b.iter(|| black_box(bare_loop(black_box(voices))));
        });
    }
    group.finish();
}

criterion_group!(benches, review);
criterion_main!(benches);
