/**
 * The number by which another flight is chosen. The flights offered are numbered from 1 as they were found; the one that is the answer
 * stands apart, and the others keep their order.
 */
export const number_of_other = (index: number, chosen: number): number => (index + 1 < chosen ? index + 1 : index + 2);
