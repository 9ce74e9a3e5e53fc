/** Whether `text` is a Chemical Abstracts number whose check digit is right: digits weighted 1, 2, 3 ... from the right. */
export function isCas(text: string): boolean {
  const [, first, second, check] = /^([1-9]\d{1,6})-(\d\d)-(\d)$/.exec(text) ?? [];
  if (first === undefined || second === undefined || check === undefined) return false;
  const digits = [...`${first}${second}`].reverse();
  const sum = digits.reduce((total, digit, place) => total + Number(digit) * (place + 1), 0);
  return sum % 10 === Number(check);
}
