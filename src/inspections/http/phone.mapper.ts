import type { PhonesOfVisit } from '../phones.service.js';
import type { OwingPhone } from '../phones.contract.js';
import type { OwingPhoneView, PhonesOfVisitView } from './phone.dto.js';

export function owingPhoneView(phone: OwingPhone): OwingPhoneView {
  return plainView(phone);
}

function plainView<P extends OwingPhone>({ lost, claims, ...phone }: P) {
  return {
    ...phone,
    ...(lost === null ? {} : { lost }),
    claims: claims.map(({ number, ...claim }) => (number === null ? claim : { ...claim, number })),
  };
}

export function phonesView({ phones, disagreements }: PhonesOfVisit): PhonesOfVisitView {
  return {
    phones: phones.map((phone) => ({
      ...plainView(phone),
      refused: phone.refused.map(({ inspection, ...fact }) => ({
        ...fact,
        body: { ...fact.body },
        ...(inspection === null ? {} : { inspection }),
      })),
    })),
    disagreements,
  };
}
