/* landmarks.c - a bounded list, thinned out as the way grows. */
#include "check/landmarks.h"

static void thin_out(struct landmarks *landmarks) {
  size_t kept = 0;
  landmarks->stride *= 2;
  for (size_t i = 0; i < landmarks->count; i++)
    if (landmarks->items[i].piece % landmarks->stride == 0)
      landmarks->items[kept++] = landmarks->items[i];
  landmarks->count = kept;
}

/* Those that are not there yet stay as they are. */
void landmarks_begin(struct landmarks *landmarks) {
  landmarks->count = 0;
  landmarks->stride = LANDMARK_STRIDE;
}

void landmark_pass(struct landmarks *landmarks, const struct phase *phase, size_t index,
                   const struct piece_mark *mark) {
  if (index == 0 || index % landmarks->stride != 0)
    return;
  if (landmarks->count == LANDMARKS_MOST)
    thin_out(landmarks);
  if (landmarks->count < LANDMARKS_MOST && index % landmarks->stride == 0)
    landmarks->items[landmarks->count++] = (struct landmark){phase, *mark, index};
}

const struct piece_mark *landmark_before(const struct landmarks *landmarks,
                                         const struct phase *phase, double t) {
  const struct piece_mark *found = NULL;
  for (size_t i = 0; landmarks && i < landmarks->count; i++)
    if (landmarks->items[i].phase == phase && landmarks->items[i].mark.t < t)
      found = &landmarks->items[i].mark;
  return found;
}
