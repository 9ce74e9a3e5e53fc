import { computed, signal } from '@preact/signals';
import type { BenchView, LiveView } from '../../electron/host/table.ts';
import { steady } from './steady.ts';

const NO_LIVE: LiveView = {
  link: 'none',
  what: 'no balance chosen',
  message: null,
  figure: null,
  unit: '',
  g: null,
  moving: true,
  typed: false,
  printed: false,
  range: 'inside',
  at: 0,
};

/** No bench told yet: what is shown between two. */
export const NO_BENCH: BenchView | null = null;

/** The bench as the host last told it; null until it has. */
export const bench = signal<BenchView | null>(NO_BENCH);

export const live = computed(() => bench.value?.live ?? NO_LIVE);
export const pour = computed(() => bench.value?.pour ?? null);

/** The batch on the bench that the program fails to show; null where there is none. */
export const unshown = steady(() => bench.value?.unshown ?? null);

/** The host has told the bench at least once. */
export const known = computed(() => bench.value !== null);
export const hasPour = computed(() => pour.value !== null);
export const phase = computed(() => pour.value?.phase ?? null);
export const ended = computed(() => phase.value === 'closed' || phase.value === 'abandoned');
/** A batch is on the bench and has not ended. */
export const underWay = computed(() => hasPour.value && !ended.value);

/** A line is being poured and the balance gives no reading: nothing that is counted from it can be shown. */
export const unread = computed(
  () => (phase.value === 'pouring' || phase.value === 'withdrawing') && live.value.g === null,
);

export const figure = computed(() => (unread.value ? '–' : (pour.value?.figure ?? '')));
export const figureUnit = computed(() => (unread.value ? '' : (pour.value?.figureUnit ?? '')));
export const word = computed(() => (unread.value ? 'no reading' : (pour.value?.word ?? '')));
export const hint = computed(() => pour.value?.hint ?? '');
export const solid = computed(() => unread.value || (pour.value?.solid ?? false));
export const standing = computed(() => (unread.value ? 'none' : (pour.value?.state ?? 'none')));
export const notice = steady(() => pour.value?.notice ?? null);

export const ladder = steady(() => pour.value?.ladder ?? []);
export const choices = steady(() => pour.value?.choices ?? []);
export const actions = steady(() => pour.value?.actions ?? []);
/** Cautions that the next bottle asks for and nobody has heeded yet. */
export const cautions = steady(() => pour.value?.cautions ?? []);
/** Values of the closing check, once they are taken. */
export const check = steady(() => pour.value?.check ?? null);
/** Pipettes whose drops are kept apart, the one in use first. */
export const pipettes = steady(() => pour.value?.pipettes ?? []);
export const next = steady(() => pour.value?.next ?? null);

export const heading = steady(() => {
  const view = pour.value;
  return view === null ? null : { batch: view.batch, name: view.name, total: view.total };
});

/** The step in hand without what changes at every reading. */
export const step = steady(() => {
  const now = pour.value?.now;
  if (now === null || now === undefined) return null;
  const { poured: _, toGo: __, drops: ___, ...still } = now;
  return still;
});
export const poured = computed(() => (unread.value ? null : (pour.value?.now?.poured ?? null)));
export const toGo = computed(() => (unread.value ? null : (pour.value?.now?.toGo ?? null)));
/** Where the pour will settle by what is on its way: a mark, never a value. */
export const willSettle = computed(() => (unread.value ? null : (pour.value?.willSettle ?? null)));
export const cue = computed(() => (unread.value ? null : (pour.value?.cue ?? null)));
/** Something of the line in hand, or just captured, is in the vessel. */
export const begun = computed(() => poured.value !== null && Number(poured.value) > 0);

export const link = computed(() => live.value.link);
export const linkWhat = computed(() => live.value.what);
export const linkMessage = computed(() => live.value.message);
/** The balance's own figure with its unit, as its display shows it. */
export const display = computed(() => {
  const { figure: shown, unit, range } = live.value;
  if (range === 'over') return 'over its range';
  if (range === 'under') return 'under its range';
  return shown === null ? '–' : `${shown} ${unit}`;
});
/** The display shows a figure. */
export const shows = computed(() => live.value.figure !== null);
export const moving = computed(() => live.value.moving);
/** Figures are typed here: the balance has no way to send them. */
export const typed = computed(() => live.value.typed);
/** The balance sends a figure only when its print key is pressed. */
export const printed = computed(() => live.value.printed);
/** The balance on this bench is the simulated one, whose pipette is on the screen. */
export const simulated = computed(() => live.value.what.startsWith('simulated'));
