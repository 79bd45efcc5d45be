// Whether each picture of a clip is looked at: on a device that follows more slowly than the clip plays, only so many that still tell
// the path. No DOM here.

const ENOUGH = 28; // pictures a second that still tell the path
const AFTER = 40; // pictures, before it is known how quick the device is

export class Pace {
  every = 1; // each so-many-th picture is looked at

  /** `times` of all pictures (s), `from` which one. @param {number[]} times @param {number} from */
  constructor(times, from) {
    const steps = times.slice(from + 1).map((time, i) => time - times[from + i]).sort((one, other) => one - other);
    this.most = steps.length ? Math.max(1, Math.floor(1 / steps[steps.length >> 1] / ENOUGH)) : 1;
    this.times = times;
    this.from = from;
    this.start = { at: from, now: 0 };
  }

  /** Whether to look at a picture. @param {number} index @param {number} now the clock, ms */
  looks(index, now) {
    if (index <= this.from + 1) this.start = { at: index, now }; // what it takes to begin is not how quick the device is
    const { at, now: since } = this.start;
    if (this.every < this.most && index - at >= AFTER && now - since > 1000 * (this.times[index] - this.times[at])) {
      this.every++;
      this.start = { at: index, now };
    }
    return (index - this.start.at) % this.every === 0;
  }
}
