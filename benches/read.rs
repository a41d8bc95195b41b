//! How long reading takes: a score of ours, written as `MusicXML`.
//!
//! `cargo bench --bench read`. The time of a byte should stay the same however long the file is.
//! Beside each reading stands a bare loop that adds up the same bytes.
#![expect(clippy::expect_used, reason = "a benchmark may panic: that is how it fails")]

mod common;

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use soggetto::interchange::musicxml;
use std::hint::black_box;

fn read(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("read");
    group.sample_size(10);
    for phrases in [6, 27, 270, 2_703] {
        let score = common::score(phrases);
        let text = musicxml::write(&score).expect("the phrase can be written");
        let (bytes, notes) = (text.as_bytes(), common::notes(&score));
        group.throughput(Throughput::Bytes(bytes.len() as u64));
        group.bench_with_input(BenchmarkId::new("MusicXML", notes), bytes, |b, bytes| {
            b.iter(|| black_box(musicxml::read_bytes(black_box(bytes)).is_ok()));
        });
        group.bench_with_input(BenchmarkId::new("bare loop", notes), bytes, |b, bytes| {
            b.iter(|| black_box(black_box(bytes).iter().fold(0_u64, |sum, &byte| sum + u64::from(byte))));
        });
    }
    group.finish();
}

criterion_group!(benches, read);
criterion_main!(benches);
