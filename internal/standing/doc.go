// Package standing answers by itself, with no note written, what readers ask of every version: how long it runs and charges, where
// it cuts out, which fuses and leads it has, what it cost, how it drives, what it may weigh, and what became of it. [Of] makes the
// sentences from results by way of the index of values, so each number in them is one that a statement could be bound to, with its
// width and its kind. Where something is missing the answer says so: not measured yet, with the run that would settle it, or not
// stated yet, with the key of the front matter. It reads no log and lays out no page; whether an answer is any good to who asks
// it cannot know.
package standing
