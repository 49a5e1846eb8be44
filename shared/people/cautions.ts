// The cautions of the trade, by the work they belong to: the one home of their words.

export type CautionTopic = "tapping" | "round" | "keeping" | "boil" | "bottling";

export type Caution = {
  /** Two or three words that name the hazard. */
  hazard: string;
  advice: string;
  /** Where the advice was read; absent for what is common practice, without a source. */
  source?: string;
};

const ontario =
  "Ontario Ministry of Agriculture, Food and Rural Affairs, Best Production Practices";

const fallingLimbs: Caution = {
  hazard: "falling limbs",
  advice:
    "Look up before you stop under a tree. Stay out of the yard in high wind and after heavy snow or ice, and leave alone a tree with dead limbs over the path.",
};

const cautions: Record<CautionTopic, readonly Caution[]> = {
  tapping: [
    {
      hazard: "permission",
      advice: "Tap only your own trees, or those whose owner has said yes.",
    },
    {
      hazard: "treated and roadside trees",
      advice:
        "Leave alone trees beside sprayed lawns and fields, treated fences or fouled ground, trees that were sprayed or injected, and those burnt by road salt.",
    },
    fallingLimbs,
    {
      hazard: "lead in old gear",
      advice:
        "Don't use soldered galvanised gear made before 1994, other soldered gear made before 1995, brass or terneplate: sap and syrup take up lead.",
      source: ontario,
    },
    {
      hazard: "drill and hammer",
      advice:
        "Wear eye protection, stand firmly on the snow, keep the bit away from your legs and the cord out of the wet.",
    },
    {
      hazard: "which tree it is",
      advice:
        "Mark your maples while the leaves are on. Don't taste the sap of a tree that you can't name.",
    },
  ],
  round: [
    {
      hazard: "ice and slopes",
      advice:
        "Wear grips on ice, keep to a trodden path, and put the load down rather than slide with it.",
    },
    {
      hazard: "heavy pails",
      advice:
        "A full 5 gal pail weighs about 19 kg (42 lb). Carry two lighter loads instead of one heavy one, one in each hand, and lift with your legs.",
    },
    fallingLimbs,
    {
      hazard: "cold and dark",
      advice: "Tell somebody when you go out alone, and take a lamp and a phone.",
    },
  ],
  keeping: [
    {
      hazard: "spoilt sap",
      advice:
        "Keep sap cold and covered, and boil the oldest first. Boil-by times are advice and no guarantee: pour away what is ropy, sour or cloudy.",
      source: "Canadian Food Inspection Agency, manual 4.4.1: cold, covered, first in first out",
    },
    {
      hazard: "unfit vessels",
      advice:
        "Use food-grade vessels only, never one that held chemicals, and rinse well after cleaning.",
      source: "Ontario Regulation 119/11: food-grade for all that touches sap",
    },
    {
      hazard: "weight of a vessel",
      advice: "A litre of sap weighs a kilogram: a full vessel needs firm, level ground under it.",
    },
  ],
  boil: [
    {
      hazard: "burns",
      advice:
        "Near 104 °C (219 °F) syrup sticks to the skin and goes on burning. Wear sleeves, gloves and closed shoes, keep children and animals away, and cool a burn under running water at once.",
    },
    {
      hazard: "boil-over",
      advice:
        "Never leave the pan. Foam can climb over the rim in seconds: have food-grade defoamer at hand, and take the heat away.",
    },
    {
      hazard: "scorching",
      advice: "Never let the pan run shallow: a dry spot burns, warps the pan and can catch fire.",
    },
    {
      hazard: "fire",
      advice:
        "Keep the fire clear of walls, branches and dry grass, with water or an extinguisher beside it. Ask about burning permits and the day's fire danger.",
    },
    {
      hazard: "carbon monoxide",
      advice:
        "Boil outdoors. Wood, gas and charcoal give off carbon monoxide, which has no smell and kills: indoors it takes a flue and a hood made for it, and an alarm. Steam also ruins walls and ceilings.",
    },
    {
      hazard: "gas and mains",
      advice:
        "Have gas lines and heavy wiring made by those who are licensed for it, and keep cords out of the wet.",
    },
  ],
  bottling: [
    {
      hazard: "burns",
      advice: "Syrup is filled hot, at 85 to 87 °C (185 to 189 °F): wear gloves and use a funnel.",
      source: `${ontario}, for the temperature`,
    },
    {
      hazard: "bursting glass",
      advice: "Warm glass before you fill it: cold glass can crack and spill hot syrup.",
    },
    {
      hazard: "food rules",
      advice:
        "Before you sell or give away syrup, learn what your place asks of the kitchen, the grade and the label.",
    },
    {
      hazard: "spoilt syrup",
      advice:
        "Don't eat syrup with mould on it; newer advice is to throw the whole bottle away. Keep an open one in the cold.",
    },
    {
      hazard: "infants",
      advice: "Ask a doctor before giving syrup to a child under one year.",
    },
  ],
};

/** What to mind at that work, the most telling first. */
export function cautionsFor(topic: CautionTopic): readonly Caution[] {
  return cautions[topic];
}

/** Said below every list of cautions. */
export const cautionsDefer =
  "Local codes, the makers' instructions and those licensed for the work come before anything said here.";

/** The gravest of all, for the foot of every page. */
export const cautionsInShort =
  "Mind the ice underfoot, the weight of a full pail, limbs falling after snow and wind, and hot syrup, which sticks and burns. Boil-by times are advice, not a food-safety guarantee.";
