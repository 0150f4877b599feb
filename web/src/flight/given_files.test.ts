import { describe, expect, it } from "vitest";
import { files_of, kinds_of_file, names_at, names_of, no_names } from "./given_files";

describe("files that were given", () => {
  const given = { aircraft: "own.toml", minima: null, winds_bulletin: "fd1.txt" };

  it("are found by their kind and name, and told where they are not", () => {
    const at_hand = (kind: string, name: string) => (kind === "aircraft" && name === "own.toml" ? "name = \"Own\"\n" : null);
    const { files, missing } = files_of(given, at_hand);
    expect(files).toEqual({ aircraft: { name: "own.toml", text: "name = \"Own\"\n" }, minima: null, winds_bulletin: null });
    expect(missing).toEqual([{ label: kinds_of_file.find(({ kind }) => kind === "winds_bulletin")!.label, name: "fd1.txt" }]);
  });

  it("are named, and an empty one is one too", () => {
    const { files, missing } = files_of(given, () => "");
    expect(missing).toEqual([]);
    expect(names_of(files)).toEqual(given);
    expect(names_of(files_of(no_names, () => "x").files)).toEqual(no_names);
  });

  it("are not named by what is no name of a file", () => {
    for (const name of ["", "../own.toml", "C:\\own.toml", "x".repeat(256)]) expect(names_at(() => name)).toEqual(no_names);
  });
});
