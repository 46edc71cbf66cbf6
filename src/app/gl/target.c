/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/gl/target.h"

#include "app/gl/shader.h"

static void
storage (GLuint renderbuffer, GLenum format, const TarnGlTarget *target)
{
  glBindRenderbuffer (GL_RENDERBUFFER, renderbuffer);
  if (target->samples > 1)
    glRenderbufferStorageMultisample (GL_RENDERBUFFER, target->samples, format, target->width,
                                      target->height);
  else
    glRenderbufferStorage (GL_RENDERBUFFER, format, target->width, target->height);
}

gboolean
tarn_gl_target_resize (TarnGlTarget *target, int width, int height, int samples, GError **error)
{
  GLint most = 0;
  glGetIntegerv (GL_MAX_SAMPLES, &most);
  samples = MIN (samples, most);
  if (target->framebuffer != 0 && target->width == width && target->height == height
      && target->samples == samples)
    return TRUE;

  GLint before = 0;
  glGetIntegerv (GL_FRAMEBUFFER_BINDING, &before);
  tarn_gl_target_clear (target);
  target->width = width;
  target->height = height;
  target->samples = samples;
  glGenFramebuffers (1, &target->framebuffer);
  glGenRenderbuffers (1, &target->colour);
  glGenRenderbuffers (1, &target->depth);
  storage (target->colour, GL_RGBA8, target);
  storage (target->depth, GL_DEPTH_COMPONENT24, target);
  glBindFramebuffer (GL_FRAMEBUFFER, target->framebuffer);
  glFramebufferRenderbuffer (GL_FRAMEBUFFER, GL_COLOR_ATTACHMENT0, GL_RENDERBUFFER,
                             target->colour);
  glFramebufferRenderbuffer (GL_FRAMEBUFFER, GL_DEPTH_ATTACHMENT, GL_RENDERBUFFER,
                             target->depth);
  gboolean whole = glCheckFramebufferStatus (GL_FRAMEBUFFER) == GL_FRAMEBUFFER_COMPLETE;
  glBindFramebuffer (GL_FRAMEBUFFER, (GLuint)before);
  if (whole)
    return TRUE;
  tarn_gl_target_clear (target);
  g_set_error (error, TARN_GL_ERROR, TARN_GL_ERROR_TARGET, "no framebuffer of %d × %d", width,
               height);
  return FALSE;
}

void
tarn_gl_target_clear (TarnGlTarget *target)
{
  if (target->framebuffer != 0)
    glDeleteFramebuffers (1, &target->framebuffer);
  if (target->colour != 0)
    glDeleteRenderbuffers (1, &target->colour);
  if (target->depth != 0)
    glDeleteRenderbuffers (1, &target->depth);
  *target = (TarnGlTarget){ 0 };
}
