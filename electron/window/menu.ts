import type { MenuItemConstructorOptions } from 'electron';

/** The desktop's menu: the platform's own commands, none that only this window would have. */
export function menuTemplate(platform: string): MenuItemConstructorOptions[] {
  const mac: MenuItemConstructorOptions[] = platform === 'darwin' ? [{ role: 'appMenu' }] : [];
  return [
    ...mac,
    { role: 'fileMenu' },
    { role: 'editMenu' },
    {
      label: 'View',
      submenu: [
        { role: 'resetZoom' },
        { role: 'zoomIn' },
        { role: 'zoomOut' },
        { type: 'separator' },
        { role: 'togglefullscreen' },
      ],
    },
    { role: 'windowMenu' },
  ];
}
