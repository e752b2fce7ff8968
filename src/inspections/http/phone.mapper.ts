import type { PhonesOfVisit } from '../phones.service.js';
import type { OwingPhone } from '../store/phone.read-model.js';
import type { OwingPhoneView, PhonesOfVisitView } from './phone.dto.js';

export function owingPhoneView({ lost, claims, ...phone }: OwingPhone): OwingPhoneView {
  return {
    ...phone,
    ...(lost === null ? {} : { lost }),
    claims: claims.map(({ number, ...claim }) => (number === null ? claim : { ...claim, number })),
  };
}

export function phonesView({ phones, disagreements }: PhonesOfVisit): PhonesOfVisitView {
  return {
    phones: phones.map((phone) => ({
      ...owingPhoneView(phone),
      missing: phone.missing,
      photos: phone.photos,
      refused: phone.refused.map(({ inspection, ...fact }) => ({
        ...fact,
        body: { ...fact.body },
        ...(inspection === null ? {} : { inspection }),
      })),
    })),
    disagreements,
  };
}
