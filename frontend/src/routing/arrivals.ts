/** Whether a place was opened by going somewhere, as against by loading the page: only then does focus move. */
class Arrivals {
  #going = false;

  /** The person went to another place. */
  went(): void {
    this.#going = true;
  }

  /** True once after each going. */
  next(): boolean {
    const going = this.#going;
    this.#going = false;
    return going;
  }
}

export const arrivals = new Arrivals();
