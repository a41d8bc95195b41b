//! How long composing takes: a countersubject, and a whole draft in four voices.
//!
//! `cargo bench --bench compose`. A draft in two voices is little more than its countersubject: one
//! answer, one countersubject, one link. Beside the drafts stands a bare loop over the notes of the
//! finished draft, which looks at every pair of simultaneous notes once, so that a ratio can be quoted.
#![expect(clippy::expect_used, reason = "a benchmark may panic: that is how it fails")]

mod common;

use common::bare_loop;
use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use soggetto::compose::{DraftOptions, draft};
use soggetto::ensemble::Ensemble;
use soggetto::subject::Subject;
use std::hint::black_box;

/// Subjects of two bars: key, meter and line.
const SUBJECTS: [(&str, &str, &str, &str); 3] = [
    ("carillon", "G major", "4/4", "G4:1/4 D5 E5:1/8 D5 C5 B4 | C5:1/4 A4:1/8 F#4 G4:1/4"),
    ("cuckoo", "F major", "6/8", "C5:1/4 A4:1/8 D5:1/4 Bb4:1/8 | G4 A4 Bb4 C5 Bb4 G4 | A4:3/8"),
    ("bees", "E minor", "2/4", "E4:1/16 F#4 G4 A4 B4:1/8 E5 | D#5 B4 C5:1/16 B4 A4 F#4 | G4:1/4"),
];

fn compose(criterion: &mut Criterion) {
    let plain = Ensemble::named("plain").expect("the plain ensemble is built in");
    for (group, voices) in [("countersubject", 2), ("draft in four voices", 4)] {
        let options = DraftOptions::new(plain.with_voices(voices).expect("it has two to five voices"));
        let mut group = criterion.benchmark_group(group);
        group.sample_size(20);
        for (name, key, meter, line) in SUBJECTS {
            let subject = Subject::from_text(key, meter, "0", line).expect("the subject is sound");
            group.bench_with_input(BenchmarkId::new("draft", name), &subject, |b, subject| {
                b.iter(|| black_box(draft(black_box(subject), &options)));
            });
            let exposition = draft(&subject, &options).expect("the subject can be drafted");
            let tones = common::voices(exposition.score());
            group.bench_with_input(BenchmarkId::new("bare loop", name), &tones, |b, tones| {
                b.iter(|| black_box(bare_loop(black_box(tones))));
            });
        }
        group.finish();
    }
}

criterion_group!(benches, compose);
criterion_main!(benches);
