/** "+$12.30" or "−$4.00": a difference, to the cent. */
export const money = (usd: number) =>
  `${usd < 0 ? "−" : "+"}$${Math.abs(usd).toLocaleString("en-US", { minimumFractionDigits: 2, maximumFractionDigits: 2 })}`;
