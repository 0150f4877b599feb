/** One event of a stream: its name, and its lines of data joined again. */
export interface StreamEvent {
  readonly name: string;
  readonly data: string;
}

/** Takes a stream of server-sent events apart as it comes in pieces (HTML Living Standard, 9.2.6; the service ends its lines with \n). */
export class EventParts {
  private rest = "";

  /** The events that the piece completes. */
  take(piece: string): StreamEvent[] {
    const blocks = (this.rest + piece).split("\n\n");
    this.rest = blocks.pop() ?? "";
    return blocks.map(event_of).filter((event) => event.data !== "");
  }
}

function event_of(block: string): StreamEvent {
  let name = "message";
  const data: string[] = [];
  for (const line of block.split("\n")) {
    const colon = line.indexOf(":");
    if (colon <= 0) continue;
    const value = line.slice(colon + 1).replace(/^ /, "");
    if (line.slice(0, colon) === "event") name = value;
    if (line.slice(0, colon) === "data") data.push(value);
  }
  return { name, data: data.join("\n") };
}
