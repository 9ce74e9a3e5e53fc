import type { z } from 'zod';
import {
  LAYOUTS,
  type LabelLayout,
  layoutFault,
  lidLayouts,
  perPage,
} from '../../../core/record/label-sheet.ts';
import type { WorkshopStore } from '../store/workshop.ts';
import { LabelSettings as Schema } from '../table-labels.ts';
import { HostTrouble } from '../trouble.ts';

export type LabelSettings = z.infer<typeof Schema>;

const SETTING = 'labels';

const FIRST: LabelSettings = {
  maker: '',
  code: 'data-matrix',
  bottle: { on: true, layout: 'a4-3x8', start: 1, copies: 1 },
  lid: { on: true, layout: 'cut-a4', start: 1, copies: 1, diameter: 18 },
  outline: true,
  own: [],
};

/** Settings of labels as they were kept; those to begin with where none are. */
export function labelSettings(workshop: WorkshopStore): LabelSettings {
  const text = workshop.setting(SETTING);
  return text === null ? FIRST : Schema.parse(JSON.parse(text));
}

/** What there is to choose among: rounds for the lid, all others for the bottle, one's own last. */
export function layoutsFor({ own, lid }: LabelSettings): { bottle: LabelLayout[]; lid: LabelLayout[] } {
  return {
    bottle: [...LAYOUTS, ...own.filter(({ shape }) => shape === 'rectangle')],
    lid: [...lidLayouts(lid.diameter), ...own.filter(({ shape }) => shape === 'round')],
  };
}

const found = (layouts: readonly LabelLayout[], id: string): LabelLayout => {
  const layout = layouts.find((one) => one.id === id);
  if (layout === undefined)
    throw new HostTrouble('This layout is no longer there.', 'layout', 'Choose another.');
  return layout;
};

/** The layouts chosen for bottle and lid. @throws HostTrouble when one is no longer there */
export function chosenLayouts(settings: LabelSettings): { bottle: LabelLayout; lid: LabelLayout } {
  const all = layoutsFor(settings);
  return { bottle: found(all.bottle, settings.bottle.layout), lid: found(all.lid, settings.lid.layout) };
}

/**
 * Keeps settings, every part of them or none.
 * @throws HostTrouble naming the layout that cannot be, or the place that its page does not have
 */
export function keepLabelSettings(workshop: WorkshopStore, settings: LabelSettings): void {
  const builtIn = [...LAYOUTS, ...lidLayouts(settings.lid.diameter)].map(({ id }) => id);
  const ids = [...builtIn, ...settings.own.map(({ id }) => id)];
  if (new Set(ids).size !== ids.length)
    throw new HostTrouble('Two layouts have the same mark.', 'layout', 'Save it once more under its name.');
  for (const layout of settings.own) {
    const fault = layoutFault(layout);
    if (fault !== null) throw new HostTrouble(fault.what, fault.field, `Change the layout ${layout.name}.`);
  }
  const chosen = chosenLayouts(settings);
  for (const which of ['bottle', 'lid'] as const) {
    const whole = perPage(chosen[which]);
    if (settings[which].start > whole)
      throw new HostTrouble(
        `This page has ${whole === 1 ? 'one place' : `${whole} places`}.`,
        `${which} start`,
        `Begin at a place from 1 to ${whole}.`,
      );
  }
  workshop.set(SETTING, JSON.stringify(settings));
}
