// How crews are told apart: always by letter, and on the map also by the
// line's pattern and colour. Colours: Okabe & Ito, "Color Universal Design"
// (2008), a set chosen to stay distinct for colour-blind readers.

export const colours = ["#0072B2", "#D55E00", "#009E73", "#CC79A7", "#E69F00", "#56B4E9", "#000000", "#F0E442"] as const;

export const patterns = ["", "10 5", "2 5", "12 4 2 4", "16 4", "6 3", "2 3 8 3", "1 4"] as const;

/** The colour and dash pattern of the nth crew. Past eight crews a colour comes back with another pattern. */
export function crewMark(n: number): { colour: string; dash: string } {
  const round = Math.floor(n / colours.length);
  return { colour: colours[n % colours.length]!, dash: patterns[(n + round) % patterns.length]! };
}
