/**
 * A browser on a system without a language names itself "en-US@posix", which is no language tag (BCP 47): Intl throws on
 * it, and a library that hands it to Intl as it loads takes the whole window down. Such a browser is taken for en-GB.
 */
function known(tag: string): boolean {
  try {
    return Intl.getCanonicalLocales(tag).length > 0;
  } catch (cause) {
    if (cause instanceof RangeError) return false;
    throw cause;
  }
}

if (!known(navigator.language))
  Object.defineProperty(navigator, 'language', { value: 'en-GB', configurable: true });
