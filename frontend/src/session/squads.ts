import { answer, everyItem, type Service } from '../api/client';
import type { Appointment, Region, Squad } from '../api/contract';

/** The squads of this season that an appointment opens, by name. Without a season for today, those of the newest one. */
export async function openSquads(service: Service, region: Region, hat: Appointment | null): Promise<Squad[]> {
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
    .filter((squad) => of.has(squad.seasonId) && (!hat?.squadId || hat.squadId === squad.id))
    .sort((a, b) => collator.compare(a.name, b.name));
}
