import type { RehearseChance } from "../api/generated";

/** A share in percent, finer where it is near nothing or near all: a rare failure is no 0. */
export function percent(share: number): string {
  const value = share * 100;
  const near = Math.min(value, 100 - value);
  const digits = near >= 10 ? 0 : near >= 0.95 ? 1 : 2;
  return value === 0 || value === 100 ? value.toFixed(0) : value.toFixed(digits);
}

/** A chance with the interval that holds it 95 in 100 times. */
export const chance_says = (chance: RehearseChance): string => (chance.did_share === null ? "none" : `${percent(chance.did_share)} %`);
export const interval_says = (chance: RehearseChance): string => `${percent(chance.low_share)} to ${percent(chance.high_share)} %`;
