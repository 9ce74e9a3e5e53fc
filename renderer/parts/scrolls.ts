/** For what scrolls and holds nothing to press: it takes the focus, so that the arrow keys can scroll it (WCAG 2.1.1). */
export const scrolls = { tabIndex: 0 } as const;
