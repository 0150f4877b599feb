import type { PlanDocument } from "../api/generated";
import { number_of_other } from "../plan/choice";

type Other = PlanDocument["others"][number];

/** A flight that is offered, in the words of the plan. */
export interface Offered {
  /** By which it is chosen, from 1. */
  readonly number: number;
  readonly is_this: boolean;
  readonly route: string;
  readonly approach: string;
  readonly verdict: string;
  readonly cruise_msl_ft: number;
  readonly distance_nm: number;
  readonly costs: NonNullable<PlanDocument["costs"]>;
  readonly outline: NonNullable<PlanDocument["outline"]>;
  readonly findings: PlanDocument["findings"];
  /** Sentences; none of the flight itself. */
  readonly differences: readonly string[];
}

const of_other = (other: Other, number: number): Offered => ({
  number,
  is_this: false,
  route: other.route,
  approach: other.approach,
  verdict: other.verdict,
  cruise_msl_ft: other.cruise_msl_ft,
  distance_nm: other.distance_nm,
  costs: other.costs,
  outline: other.outline,
  findings: other.findings,
  differences: [...other.differences, other.difference],
});

/** All flights that are offered by their numbers, so that none changes its place when another is chosen. */
export function offered(plan: PlanDocument, chosen: number): Offered[] {
  const { flight, costs, outline } = plan;
  if (!flight || !costs || !outline) return [];
  const this_one: Offered = {
    number: chosen,
    is_this: true,
    route: flight.route,
    approach: flight.approach,
    verdict: plan.verdict,
    cruise_msl_ft: flight.cruise_altitude_msl_ft,
    distance_nm: flight.distance_nm,
    costs,
    outline,
    findings: plan.findings,
    differences: [],
  };
  const others = plan.others.map((other, index) => of_other(other, number_of_other(index, chosen)));
  return [this_one, ...others].sort((one, other) => one.number - other.number);
}

/** Where the margin is least: what is the tightest of the three. */
export function tightest_at(costs: Offered["costs"]): string {
  const margins = [
    [costs.reception_share, costs.reception_at],
    [costs.fix_share, costs.fix_at],
    [costs.width_share, costs.width_at],
  ] as const;
  return margins.find(([share]) => share === costs.margin_share)?.[1] ?? "";
}
