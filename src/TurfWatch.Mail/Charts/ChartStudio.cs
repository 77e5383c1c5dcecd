using TurfWatch.Core;
using TurfWatch.Mail.Composing;

namespace TurfWatch.Mail.Charts;

/// <summary>A drawn chart.</summary>
/// <param name="Name">Follows from what it shows: pictures with the same name are the same.</param>
/// <param name="Png">The picture.</param>
public sealed record ChartPicture(string Name, byte[] Png);

/// <summary>Draws charts, and keeps the last ones: lawns of one cell and surface share them.</summary>
/// <param name="keep">How many are kept; one takes about 15 kB.</param>
internal sealed class ChartStudio(ChartPainter painter, int keep = 512)
{
    private readonly Lock _lock = new();
    private readonly Dictionary<string, LinkedListNode<ChartPicture>> _kept = new(
        StringComparer.Ordinal
    );
    private readonly LinkedList<ChartPicture> _order = [];

    /// <summary>One for the process, made when the first chart is drawn: a morning message needs neither fonts nor the drawing library.</summary>
    public static ChartStudio Shared { get; } = new(new ChartPainter(ChartFonts.Shipped()));

    /// <summary>How many charts were drawn, not taken from those kept.</summary>
    public int Drawn { get; private set; }

    /// <summary>A picture that is kept, or null.</summary>
    public ChartPicture? Kept(string name)
    {
        lock (_lock)
        {
            return _kept.TryGetValue(name, out var node) ? node.Value : null;
        }
    }

    /// <summary>The picture, or null when the chart holds no known value.</summary>
    public ChartPicture? Picture(Chart chart, PhraseFormatter say)
    {
        if (ChartDrawing.Of(chart, say) is not { } drawing)
        {
            return null;
        }

        var name = drawing.Name();
        lock (_lock)
        {
            if (_kept.TryGetValue(name, out var node))
            {
                _order.Remove(node);
                _order.AddFirst(node);
                return node.Value;
            }

            var picture = new ChartPicture(name, painter.Paint(drawing));
            Drawn++;
            _kept[name] = _order.AddFirst(picture);
            if (_order.Count > keep)
            {
                _kept.Remove(_order.Last!.Value.Name);
                _order.RemoveLast();
            }

            return picture;
        }
    }
}
