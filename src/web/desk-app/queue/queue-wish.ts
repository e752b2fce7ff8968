/** What the queue is to show. */
export interface QueueWish {
  /** Id of the view. */
  readonly view: string;
  /** Part of a claim number, serial number or order reference; empty for all. */
  readonly find: string;
  /** A ground; empty for all. */
  readonly ground: string;
}
