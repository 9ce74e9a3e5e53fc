/** Tells of an answer whether it is still wanted: false once something newer was asked. */
export type Wanted = () => boolean;

/**
 * Of questions asked one after the other, only the answer to the last counts: an earlier one may come late.
 * @returns what is called at each question, and gives what tells later whether its answer is still wanted
 */
export function latest(): () => Wanted {
  let asked = 0;
  return () => {
    asked += 1;
    const mine = asked;
    return () => mine === asked;
  };
}
