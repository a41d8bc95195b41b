#!/usr/bin/env python3
"""Counts what a review marks in real music, by rule and per hundred bars.

    pip install music21
    cargo build --release --example batch
    python3 examples/corpus.py bach monteverdi beethoven/opus59no3 --rules strict-school

Each argument is a folder of MusicXML files, or a part of a path in the corpus that the general-purpose library
music21 carries (its choruses, madrigals and quartets; nothing of it is copied). Without arguments all of that corpus
is read. The reviews are done by the example `batch`; this script counts.
"""
import argparse
import collections
import json
import pathlib
import subprocess
import sys
import zipfile
from xml.etree import ElementTree

BATCH = pathlib.Path(__file__).resolve().parent.parent / "target" / "release" / "examples" / "batch"
SUFFIXES = {".xml", ".mxl", ".musicxml"}
SEVERITIES = ["fault", "caution", "remark"]


def main():
    options = arguments()
    files = sorted(scores(options.where))
    if not files:
        sys.exit(f"corpus.py: no MusicXML file in {' '.join(options.where) or 'the corpus'}")
    tasks = "".join(json.dumps({"id": str(file), "task": "review", "score": str(file)}) + "\n" for file in files)
    command = [str(options.batch), "--no-remedies", "--rules", options.rules]
    results = subprocess.run(command, input=tasks, capture_output=True, text=True, check=True).stdout
    report([json.loads(line) for line in results.splitlines()])


def arguments():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("where", nargs="*", help="a folder, or a part of a path in the corpus of music21")
    parser.add_argument("--rules", default="free-baroque", help="the rule book")
    parser.add_argument("--batch", default=BATCH, help="the built example `batch`")
    return parser.parse_args()


def scores(where):
    """The MusicXML files of folders, and those of music21's corpus whose path holds one of the other words."""
    folders = [pathlib.Path(word) for word in where if pathlib.Path(word).is_dir()]
    yield from (file for folder in folders for file in folder.rglob("*") if file.suffix in SUFFIXES)
    words = [word for word in where if not pathlib.Path(word).is_dir()]
    if words or not where:
        from music21 import corpus

        for file in map(pathlib.Path, corpus.getCorePaths()):
            if file.suffix in SUFFIXES and (not where or any(word in file.as_posix() for word in words)):
                yield file


def bars(file):
    """How many bars the first part of a file has."""
    path = pathlib.Path(file)
    if path.suffix == ".mxl":
        with zipfile.ZipFile(path) as archive:
            name = next(n for n in archive.namelist() if not n.startswith("META-INF") and n.endswith(("xml", "musicxml")))
            root = ElementTree.fromstring(archive.read(name))
    else:
        root = ElementTree.fromstring(path.read_bytes())
    part = root.find("part")
    return 0 if part is None else len(part.findall("measure"))


def report(results):
    read = [result for result in results if "error" not in result]
    refused = [result for result in results if "error" in result]
    length = sum(bars(result["id"]) for result in read)
    fugues = [result["id"] for result in read if result["subject"]]
    found = collections.Counter(
        (finding["rule"], finding["severity"].lower()) for result in read for finding in result["findings"]
    )
    print(f"{len(read)} scores read, {len(refused)} refused, {length} bars, a subject found in {len(fugues)}")
    for result in refused:
        print(f"  refused: {result['id']}: {result['error']['message']}")
    print(f"\nfor a hundred bars {''.join(f'{severity:>10}' for severity in SEVERITIES)}")
    for rule in sorted({rule for rule, _ in found}):
        print(f"{rule:32}" + "".join(share(found[rule, severity], length) for severity in SEVERITIES))
    totals = [sum(n for (_, s), n in found.items() if s == severity) for severity in SEVERITIES]
    print(f"{'in all':32}" + "".join(share(total, length) for total in totals))


def share(count, length):
    return f"{100 * count / length:10.2f}" if count else f"{'-':>10}"


if __name__ == "__main__":
    main()
