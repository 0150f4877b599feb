import { expect, it } from "vitest";
import type { FindDocument } from "../api/generated";
import { overlay_of } from "./region";

const place = { latitude_deg: 40, longitude_deg: -169 };
const region = { probability_share: 0.95, area_square_nm: 1, greatest_extent_nm: 2, rings: [[place, place, place]] };

const found = (shares: readonly number[]): FindDocument =>
  ({ places: shares.map((probability_share) => ({ place, probability_share })), most: region, half: { ...region, probability_share: 0.5 } }) as unknown as FindDocument;

it("places that stand apart have letters, one alone has none", () => {
  expect(overlay_of(found([0.66, 0.34])).marks.map((mark) => mark.says)).toEqual(["A 66 %", "B 34 %"]);
  expect(overlay_of(found([1])).marks.map((mark) => mark.says)).toEqual(["100 %"]);
});

it("the surer region lies over the other, and a contradiction has none", () => {
  expect(overlay_of(found([1])).areas.map((area) => area.within)).toEqual(["most", "half"]);
  expect(overlay_of({ ...found([]), most: null, half: null }).areas).toEqual([]);
});
