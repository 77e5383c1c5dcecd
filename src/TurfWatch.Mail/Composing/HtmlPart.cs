using System.Reflection;
using System.Text.Encodings.Web;
using System.Text.Unicode;
using Fluid;

namespace TurfWatch.Mail.Composing;

/// <summary>The HTML part: templates filled from the same view as the text part. Everything that is filled in is escaped.</summary>
internal static class HtmlPart
{
    // Letters stay letters (the part is UTF-8); what has a meaning in HTML becomes an entity.
    private static readonly HtmlEncoder Encoder = HtmlEncoder.Create(UnicodeRanges.All);

    private static readonly TemplateOptions Options = MakeOptions();

    private static readonly IFluidTemplate Template = Parse("frame");

    public static string Write(MessageView view) =>
        Template.Render(new TemplateContext(view, Options), Encoder);

    /// <summary>The part in wire form, for 7bit; null when a line of it cannot be kept short enough for that.</summary>
    public static WireText? Wire(MessageView view)
    {
        using var writer = new HtmlWriter();
        var rendering = Template.RenderAsync(writer, Encoder, new TemplateContext(view, Options));
        // Nothing in it waits.
        rendering.AsTask().GetAwaiter().GetResult();
        return writer.Lines();
    }

    private static TemplateOptions MakeOptions()
    {
        var options = new TemplateOptions { FileProvider = new TemplateFiles() };
        foreach (
            var view in typeof(MessageView)
                .Assembly.GetTypes()
                .Where(t => t.Namespace == typeof(MessageView).Namespace && IsView(t))
        )
        {
            options.MemberAccessStrategy.Register(view);
        }

        return options;
    }

    private static bool IsView(Type type) =>
        type is { IsAbstract: false, IsGenericType: false }
        && type.GetMethod("<Clone>$", BindingFlags.Public | BindingFlags.Instance) is not null;

    private static IFluidTemplate Parse(string name)
    {
        var text = TemplateFiles.Read(name);
        return new FluidParser().TryParse(text, out var template, out var error)
            ? template
            : throw new InvalidOperationException($"the template {name} is faulty: {error}");
    }
}
