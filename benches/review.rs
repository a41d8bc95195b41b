//! How long a review takes: the texture of a score, all rules of the default book, recognition.
//!
//! `cargo bench --bench review`. Four voices of twelve bars come first; then 1,000, 10,000, 100,000 and
//! 1,000,000 notes, where the time of a note should stay the same. Beside each review stands a bare loop
//! over the same notes, which looks at every pair of simultaneous notes once, so that a ratio can be
//! quoted.
#![expect(clippy::expect_used, reason = "a benchmark may panic: that is how it fails")]

mod common;

use common::{bare_loop, notes, score, voices};
use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use soggetto::recognize::recognize;
use soggetto::rules::RuleBook;
use soggetto::texture::Texture;
use std::hint::black_box;
use std::time::Duration;

fn review(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("review");
    group.warm_up_time(Duration::from_secs(1));
    let book = RuleBook::default();
    for phrases in [6, 27, 270, 2_703, 27_028] {
        let score = score(phrases);
        let (notes, voices) = (notes(&score), voices(&score));
        group.throughput(Throughput::Elements(notes as u64));
        group.sample_size(if phrases > 300 { 10 } else { 50 });
        group.bench_with_input(BenchmarkId::new("texture", notes), &score, |b, score| {
            b.iter(|| black_box(Texture::of(black_box(score)).dissonances().len()));
        });
        group.bench_with_input(BenchmarkId::new("texture and rules", notes), &score, |b, score| {
            b.iter(|| black_box(book.review(&Texture::of(black_box(score))).len()));
        });
        group.bench_with_input(BenchmarkId::new("recognition", notes), &score, |b, score| {
            b.iter(|| black_box(recognize(black_box(score)).is_some()));
        });
        group.bench_with_input(BenchmarkId::new("bare loop", notes), &voices, |b, voices| {
            b.iter(|| black_box(bare_loop(black_box(voices))));
        });
    }
    group.finish();
}

criterion_group!(benches, review);
criterion_main!(benches);
