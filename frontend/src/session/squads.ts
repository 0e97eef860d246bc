import { answer, everyItem, type Service } from '../api/client';
import type { Region, Squad } from '../api/contract';
import type { Hat } from './hats';

/** The squads of this season that a hat opens, by name. Without a season for today, those of the newest one. */
export async function openSquads(service: Service, region: Region, hat: Hat | null): Promise<Squad[]> {
  const path = { regionId: region.id };
  const [squads, seasons] = await Promise.all([
    everyItem((pageToken) =>
      answer(
        service.GET('/regions/{regionId}/squads', {
          params: {
            path,
            query: {
              pageSize: 100,
              ...(hat?.clubId ? { clubId: hat.clubId } : {}),
              ...(pageToken ? { pageToken } : {}),
            },
          },
        }),
      ),
    ),
    answer(service.GET('/regions/{regionId}/seasons', { params: { path, query: { pageSize: 100 } } })),
  ]);
  const now = seasons.items.filter((season) => season.firstDay <= region.today && region.today <= season.lastDay);
  const of = new Set((now.length > 0 ? now : seasons.items.slice(0, 1)).map((season) => season.id));
  const collator = new Intl.Collator('en-GB', { numeric: true });
  return squads
    .filter((squad) => of.has(squad.seasonId) && (!hat?.squadIds || hat.squadIds.includes(squad.id)))
    .sort((a, b) => collator.compare(a.name, b.name));
}
