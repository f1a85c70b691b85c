/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/canvas.h"

#include <math.h>
#include <stdlib.h>

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <cairo.h>

#define INCH 25.4 /* [mm] */
#define POINTS 72.0 /* of a PDF, in an inch */

struct canvas {
	enum canvas_format format;
	cairo_surface_t *surface;
	cairo_t *cairo;
	struct text bytes; /* of an SVG or a PDF, as they come */
};

static cairo_status_t keep_bytes(void *closure, const unsigned char *bytes, unsigned int length)
{
	struct text *out = closure;

	text_add_bytes(out, (const char *)bytes, length);
	return out->failed ? CAIRO_STATUS_WRITE_ERROR : CAIRO_STATUS_SUCCESS;
}

static void create_svg(struct canvas *canvas, double width, double height)
{
	canvas->surface =
	    cairo_svg_surface_create_for_stream(keep_bytes, &canvas->bytes, width, height);
	if (cairo_surface_status(canvas->surface) == CAIRO_STATUS_SUCCESS)
		cairo_svg_surface_set_document_unit(canvas->surface, CAIRO_SVG_UNIT_MM);
	canvas->cairo = cairo_create(canvas->surface);
}

static void create_png(struct canvas *canvas, double width, double height)
{
	double scale = CANVAS_PNG_DPI / INCH;

	canvas->surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)lround(width * scale),
	                                             (int)lround(height * scale));
	canvas->cairo = cairo_create(canvas->surface);
	cairo_scale(canvas->cairo, scale, scale);
}

/* Without a date, so that the same drawing is the same file. */
static void create_pdf(struct canvas *canvas, double width, double height)
{
	double scale = POINTS / INCH;

	canvas->surface = cairo_pdf_surface_create_for_stream(keep_bytes, &canvas->bytes,
	                                                      width * scale, height * scale);
	if (cairo_surface_status(canvas->surface) == CAIRO_STATUS_SUCCESS)
		cairo_pdf_surface_set_metadata(canvas->surface, CAIRO_PDF_METADATA_CREATE_DATE, "");
	canvas->cairo = cairo_create(canvas->surface);
	cairo_scale(canvas->cairo, scale, scale);
}

/* Letters keep their shape and their distance whatever they are drawn on. */
static void choose_letters(cairo_t *cairo)
{
	cairo_font_options_t *options = cairo_font_options_create();

	cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
	cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
	cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
	cairo_set_font_options(cairo, options);
	cairo_font_options_destroy(options);
	cairo_select_font_face(cairo, "sans-serif", CAIRO_FONT_SLANT_NORMAL,
	                       CAIRO_FONT_WEIGHT_NORMAL);
}

struct canvas *canvas_create(enum canvas_format format, double width, double height)
{
	struct canvas *canvas = calloc(1, sizeof *canvas);

	if (canvas == NULL)
		return NULL;
	canvas->format = format;
	if (format == CANVAS_SVG)
		create_svg(canvas, width, height);
	else if (format == CANVAS_PDF)
		create_pdf(canvas, width, height);
	else
		create_png(canvas, width, height);
	cairo_set_source_rgb(canvas->cairo, 1.0, 1.0, 1.0);
	cairo_paint(canvas->cairo);
	cairo_set_source_rgb(canvas->cairo, 0.0, 0.0, 0.0);
	cairo_set_line_cap(canvas->cairo, CAIRO_LINE_CAP_ROUND);
	cairo_set_line_join(canvas->cairo, CAIRO_LINE_JOIN_ROUND);
	choose_letters(canvas->cairo);
	return canvas;
}

void canvas_next_sheet(struct canvas *canvas)
{
	cairo_show_page(canvas->cairo);
}

/* Draws the path that was laid out. */
static void stroke(cairo_t *cairo, struct canvas_pen pen)
{
	static const double dashed[] = {2.2, 1.4}, dotted[] = {0.05, 0.9};

	cairo_set_line_width(cairo, pen.weight);
	if (pen.dash == CANVAS_SOLID)
		cairo_set_dash(cairo, NULL, 0, 0.0);
	else
		cairo_set_dash(cairo, pen.dash == CANVAS_DASHED ? dashed : dotted, 2, 0.0);
	cairo_stroke(cairo);
}

void canvas_lines(struct canvas *canvas, const struct canvas_point *points, size_t count,
                  struct canvas_pen pen)
{
	if (count < 2)
		return;
	cairo_move_to(canvas->cairo, points[0].x, points[0].y);
	for (size_t i = 1; i < count; i++)
		cairo_line_to(canvas->cairo, points[i].x, points[i].y);
	stroke(canvas->cairo, pen);
}

void canvas_line(struct canvas *canvas, struct canvas_point from, struct canvas_point to,
                 struct canvas_pen pen)
{
	struct canvas_point points[] = {from, to};

	canvas_lines(canvas, points, 2, pen);
}

void canvas_circle(struct canvas *canvas, struct canvas_point centre, double radius,
                   struct canvas_pen pen)
{
	cairo_new_path(canvas->cairo);
	cairo_arc(canvas->cairo, centre.x, centre.y, radius, 0.0, 2.0 * M_PI);
	cairo_close_path(canvas->cairo);
	stroke(canvas->cairo, pen);
}

void canvas_hatch(struct canvas *canvas, struct canvas_point centre, double radius, double spacing,
                  struct canvas_pen pen)
{
	int lines = (int)(radius / spacing);

	for (int i = -lines; i <= lines; i++) {
		double beside = i * spacing;
		double half = sqrt(fmax(0.0, radius * radius - beside * beside));
		/* Along the direction (1, -1), beside it along (1, 1). */
		double x = centre.x + beside * M_SQRT1_2, y = centre.y + beside * M_SQRT1_2;

		cairo_move_to(canvas->cairo, x - half * M_SQRT1_2, y + half * M_SQRT1_2);
		cairo_line_to(canvas->cairo, x + half * M_SQRT1_2, y - half * M_SQRT1_2);
	}
	stroke(canvas->cairo, pen);
}

void canvas_hatch_polygon(struct canvas *canvas, const struct canvas_point *corners, size_t count,
                          double spacing, double slant, struct canvas_pen pen)
{
	double x = cos(slant), y = -sin(slant), low = HUGE_VAL, high = -HUGE_VAL, reach = 0.0;

	if (count < 3)
		return;
	cairo_save(canvas->cairo);
	cairo_new_path(canvas->cairo);
	for (size_t i = 0; i < count; i++) {
		double beside = x * corners[i].y - y * corners[i].x;

		low = fmin(low, beside);
		high = fmax(high, beside);
		reach = fmax(reach, hypot(corners[i].x, corners[i].y));
		cairo_line_to(canvas->cairo, corners[i].x, corners[i].y);
	}
	cairo_close_path(canvas->cairo);
	cairo_clip(canvas->cairo);
	for (double beside = ceil(low / spacing) * spacing; beside < high; beside += spacing) {
		cairo_move_to(canvas->cairo, -y * beside - reach * x, x * beside - reach * y);
		cairo_line_to(canvas->cairo, -y * beside + reach * x, x * beside + reach * y);
	}
	stroke(canvas->cairo, pen);
	cairo_restore(canvas->cairo);
}

void canvas_blank(struct canvas *canvas, struct canvas_point upper_left,
                  struct canvas_point lower_right)
{
	cairo_save(canvas->cairo);
	cairo_set_source_rgb(canvas->cairo, 1.0, 1.0, 1.0);
	cairo_rectangle(canvas->cairo, upper_left.x, upper_left.y, lower_right.x - upper_left.x,
	                lower_right.y - upper_left.y);
	cairo_fill(canvas->cairo);
	cairo_restore(canvas->cairo);
}

void canvas_bold(struct canvas *canvas, bool bold)
{
	cairo_select_font_face(canvas->cairo, "sans-serif", CAIRO_FONT_SLANT_NORMAL,
	                       bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
}

double canvas_words_width(struct canvas *canvas, double size, const char *words)
{
	cairo_text_extents_t extents;

	cairo_set_font_size(canvas->cairo, size);
	cairo_text_extents(canvas->cairo, words, &extents);
	return extents.x_advance;
}

void canvas_words(struct canvas *canvas, struct canvas_point at, double size,
                  enum canvas_anchor anchor, const char *words)
{
	double width = canvas_words_width(canvas, size, words);
	double before = anchor == CANVAS_LEFT ? 0.0 : anchor == CANVAS_CENTRE ? 0.5 * width : width;

	cairo_move_to(canvas->cairo, at.x - before, at.y);
	cairo_show_text(canvas->cairo, words);
	cairo_new_path(canvas->cairo);
}

enum status canvas_finish(struct canvas *canvas, struct text *out)
{
	bool good = cairo_status(canvas->cairo) == CAIRO_STATUS_SUCCESS;

	cairo_destroy(canvas->cairo);
	if (canvas->format == CANVAS_PNG && good)
		good = cairo_surface_write_to_png_stream(canvas->surface, keep_bytes, out) ==
		       CAIRO_STATUS_SUCCESS;
	cairo_surface_finish(canvas->surface);
	good = good && cairo_surface_status(canvas->surface) == CAIRO_STATUS_SUCCESS;
	cairo_surface_destroy(canvas->surface);
	if (good && canvas->format != CANVAS_PNG)
		text_add_bytes(out, text_bytes(&canvas->bytes), canvas->bytes.length);
	good = good && !canvas->bytes.failed && !out->failed;
	text_free(&canvas->bytes);
	free(canvas);
	return good ? STATUS_OK : STATUS_SYSTEM;
}
