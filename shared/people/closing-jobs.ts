// The jobs that close a season, in the order they are done, with what to mind at each.

export type ClosingJob = { key: string; words: string; mind: string; source?: string };

const ontario =
  "Ontario Ministry of Agriculture, Food and Rural Affairs, Best Production Practices";

export const closingJobs: readonly ClosingJob[] = [
  {
    key: "pull",
    words: "Pull the spiles",
    mind: "Before the buds open. Twist and draw, don't pry; leave the hole open to heal by itself (common practice, no source) and never drill it out again.",
    source: ontario,
  },
  {
    key: "empty",
    words: "Empty every bucket and vessel",
    mind: "Late sap that is cloudy or smells goes on the ground, not into the pan.",
  },
  {
    key: "wash",
    words: "Wash spiles, buckets, lids, vessels and pan",
    mind: "Hot water and a brush. One part of unscented bleach to 20 of water for what sap stood in, then flush well. No scented soap, no iodine; never mix bleach with anything but water.",
    source: "University of Maine Cooperative Extension, Bulletin 7038",
  },
  {
    key: "dry",
    words: "Dry everything",
    mind: "Upside down and open, so that no water stays: mould keeps over the summer.",
  },
  {
    key: "cells",
    words: "Take in the cells and the board",
    mind: "Dry the plugs, note which cell hung where, take the batteries out.",
  },
  {
    key: "store",
    words: "Store it covered and clean",
    mind: "Away from mice, fuel and paint. Throw out what has rusted through or was soldered with lead.",
  },
  {
    key: "syrup",
    words: "Put the syrup in the cool and dark",
    mind: "Look at a bottle of each batch in a month: crystals tell of syrup too dense, mould of syrup filled too cold.",
  },
  {
    key: "wood",
    words: "Split and stack next year's wood",
    mind: "It needs a summer or two under cover to come down to 20 % of water.",
  },
  {
    key: "note",
    words: "Write a note for next year",
    mind: "Which trees to rest, what broke, what you ran out of.",
  },
];
