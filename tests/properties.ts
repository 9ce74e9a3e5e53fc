import fc from 'fast-check';

/**
 * Property tests try the same cases in every run, so that a change that fails was made by the change. Others are tried
 * with PROPERTY_SEED, a whole number.
 */
const seed = Number(process.env.PROPERTY_SEED ?? 20261125);
if (!Number.isInteger(seed))
  throw new Error(`PROPERTY_SEED is no whole number: ${process.env.PROPERTY_SEED}`);
fc.configureGlobal({ seed });
