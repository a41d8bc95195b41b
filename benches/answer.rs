//! How long a set of answers takes, beside a bare transposition of the same notes.
#![expect(clippy::unwrap_used, reason = "a bench may panic")]

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use soggetto::interval::Interval;
use soggetto::subject::Subject;
use std::hint::black_box;

/// Prout, Fugue, §162 (a): two bars, 20 notes.
const TWO_BARS: &str =
    "C5:1/16 B4 C5:1/8 G4 Ab4 C5:1/16 B4 C5:1/8 D5 G4 C5:1/16 B4 C5:1/8 D5 F4:1/16 G4 Ab4:1/4 G4:1/16 F4 Eb4";

fn subject(times: usize) -> Subject {
    let line = [TWO_BARS].repeat(times).join(" ").parse().unwrap();
    Subject::new("C minor".parse().unwrap(), "4/4".parse().unwrap(), "1/8".parse().unwrap(), line).unwrap()
}

fn answers(c: &mut Criterion) {
    let mut group = c.benchmark_group("answer");
    for times in [1, 5, 30] {
        let subject = subject(times);
        let notes = subject.line().notes().len();
        group.throughput(Throughput::Elements(notes as u64));
        group.bench_with_input(BenchmarkId::new("answers", notes), &subject, |b, subject| {
            b.iter(|| black_box(subject).answers());
        });
        group.bench_with_input(BenchmarkId::new("transposition", notes), &subject, |b, subject| {
            b.iter(|| black_box(subject.line()).moved(Interval::PERFECT_FIFTH));
        });
    }
    group.finish();
}

criterion_group!(benches, answers);
criterion_main!(benches);
