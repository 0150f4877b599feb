type Watcher = (at_s: number) => void;

/**
 * The one moment of the flight that all views show, in seconds after lining up. It is no state of the page's components: a view that follows it draws
 * what moves and nothing else, once a frame however often it is moved.
 */
export class Cursor {
  private length_s_ = Infinity;
  private waiting_ = false;
  private readonly watchers_ = new Set<Watcher>();

  constructor(
    private at_s_ = 0,
    private readonly next_frame: (then: () => void) => void = (then) => void requestAnimationFrame(then),
  ) {}

  get at_s(): number {
    return this.at_s_;
  }

  /** How far it can go: as far as one likes until a flight is there. */
  set length_s(length_s: number) {
    this.length_s_ = length_s;
    this.move(this.at_s_);
  }

  move(at_s: number): void {
    this.at_s_ = Math.min(this.length_s_, Math.max(0, at_s));
    if (this.waiting_) return;
    this.waiting_ = true;
    this.next_frame(() => {
      this.waiting_ = false;
      for (const watcher of this.watchers_) watcher(this.at_s_);
    });
  }

  /** Calls at once, and after each move; returns what ends it. */
  watch(watcher: Watcher): () => void {
    this.watchers_.add(watcher);
    watcher(this.at_s_);
    return () => this.watchers_.delete(watcher);
  }
}
